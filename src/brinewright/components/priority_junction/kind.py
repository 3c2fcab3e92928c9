"""What a priority junction declares about itself; the ranks stand on the lines that enter it."""

from brinewright.components.priority_junction.lower import lower
from brinewright.model.common import FLOW, TEMPERATURE, capacity, hold_up
from brinewright.model.kind import Kind, Law, Port

KIND = Kind(
    name="priority junction",
    summary="Joins inflows into one outflow; a lower rank flows only where the higher leaves room.",
    role="junction",
    letters=("J",),
    laws=(
        Law(
            name="rank",
            world="stylised",
            text="The inflow of rank 1 takes the outflow first, then rank 2, and so on; "
            "equal ranks share evenly.",
            parameters=(capacity(),),
        ),
        Law(
            name="pressures",
            world="real",
            text="One pressure at the node; the flows follow from pressures and "
            "resistances, and ranks have no say.",
        ),
    ),
    parameters=(hold_up(0.5),),
    ports=(
        Port(name="in", flow="in", many=True, text="Inflows, each with the rank its line states."),
        Port(name="out", flow="out", text="The one outflow."),
    ),
    channels=(FLOW, TEMPERATURE),
    lower=lower,
)
