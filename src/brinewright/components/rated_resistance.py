"""The hydraulic resistance of a part whose pressure loss is stated at one flow."""

from brinewright.model.lowering import Builder, PartView, Place


def rated_resistance(part: PartView, builder: Builder, prefix: str = "") -> Place | None:
    """Return the place of the quadratic resistance of a bank, None where no loss is stated.

    dp = rated_loss (q / (n rated_flow))^2, the units of a bank standing side by side.

    Parameters
    ----------
    part : with `rated_flow` and `rated_loss`, maybe behind a prefix
    builder : that makes the value
    prefix : such as "hot_"
    """
    if not part.has(f"{prefix}rated_flow"):
        return None
    flow = part.number(f"{prefix}rated_flow") * part.count
    return builder.hidden(start=part.number(f"{prefix}rated_loss") / (flow * flow))
