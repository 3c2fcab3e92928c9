"""What a connection to an outside supply declares about itself."""

from brinewright.components.grid.lower import lower
from brinewright.model.common import power
from brinewright.model.kind import Channel, Kind, Law, Reference
from brinewright.model.mishap import lost_for_a_while

KIND = Kind(
    name="grid",
    summary="Power from outside the plant, up to a limit.",
    letters=("GR",),
    laws=(
        Law(
            name="power limit",
            world="both",
            text="Gives what is short after the battery, and takes what is left over, up to its limits.",
        ),
    ),
    parameters=(
        power("import_limit", "Highest power that it gives."),
        power("export_limit", "Highest power that it takes.", default=0.0),
    ),
    references=(
        Reference(
            name="bus",
            kinds=("bus",),
            text="The bus that it feeds; absent: the only bus, or a transformer that names it.",
            optional=True,
        ),
    ),
    channels=(
        Channel(name="power", unit="W", text="Power given to the plant; negative while it takes."),
        Channel(name="closed", unit="1", text="1 while it is closed."),
    ),
    positions=("on", "off"),
    mishaps=(lost_for_a_while("closed", "fails", "{tag} fails for a quarter of an hour."),),
    lower=lower,
)
