"""What a tee declares about itself."""

from brinewright.components.tee.lower import lower
from brinewright.model.common import FLOW, TEMPERATURE, capacity, hold_up
from brinewright.model.kind import Kind, Law, Port

KIND = Kind(
    name="tee",
    summary="Joins and splits lines; none has a claim above another.",
    role="junction",
    letters=("T",),
    laws=(
        Law(
            name="equal share",
            world="stylised",
            text="Inflows share what can leave, and outflows share what comes, evenly "
            "as far as each can take it.",
            parameters=(capacity(),),
        ),
        Law(
            name="pressures",
            world="real",
            text="One pressure at the node; the flows follow from pressures and resistances.",
        ),
    ),
    parameters=(hold_up(0.5),),
    ports=(
        Port(name="in", flow="in", many=True, text="Lines that lead in."),
        Port(name="out", flow="out", many=True, text="Lines that lead out."),
    ),
    channels=(FLOW, TEMPERATURE),
    lower=lower,
)
