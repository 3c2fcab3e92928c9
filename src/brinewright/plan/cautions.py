"""What can hurt people when a plant is opened; each document that tells somebody to do so carries it."""

from brinewright.plan.outage import vessels_touched
from brinewright.plan.pipework import Pipework
from brinewright.plan.section import Section

STEAM = (
    "Hot water that is let out flashes into steam, and a steam jet cannot be seen. Let the pressure down, "
    "prove it twice, and drain steam lines before anything is opened."
)
ELECTRIC = (
    "Isolate, lock, prove dead and earth. A plant with turbines and batteries can feed back: "
    "look for a visible break. Batteries cannot be switched off."
)
CONFINED = (
    "Tanks, vessels and pits are confined spaces, and a drained tank holds gas instead of liquid. Enter by "
    "permit only, test the air (19.5 to 23.5 % oxygen), keep a stand-by and a way to rescue."
)
GLYCOL = (
    "Glycol never goes to a drain or into the ground without permission. Ethylene glycol is poisonous and "
    "tastes sweet. Label what is kept, and guard drinking water against back-flow."
)
LEGIONELLA = (
    "Water that stood between 20 and 50 degC can carry legionella. Drain and refill without spray, "
    "and treat it before it is used again."
)
HOT = "Surfaces above 60 degC burn, and so do those far below freezing. Guard what cannot be left to cool."
CHEMICALS = "Inhibitors and biocides: keep their safety data sheets at hand, and wear what these ask for."
CHANGE = "Nobody changes a valve, a set point or a lock without a record, and only its owner removes a lock."


def cautions(pipes: Pipework, section: Section) -> tuple[str, ...]:
    """Return the cautions that this work needs in a real place; a stylised one carries its banner alone."""
    if pipes.rules.world != "real":
        return ()
    liquids = {pipes.views[tag].liquid.properties for tag in section.lines if pipes.views[tag].fillings}
    found = [CHANGE, CONFINED, HOT, CHEMICALS]
    if vessels_touched(pipes, section):
        found.insert(0, STEAM)
    if any(pipes.views[tag].feeder for tag in (*section.parts, *(one.tag for one in section.isolations))):
        found.insert(0, ELECTRIC)
    if any("glycol" in liquid for liquid in liquids):
        found.append(GLYCOL)
    if any(liquid == "water" for liquid in liquids):
        found.append(LEGIONELLA)
    return tuple(found)
