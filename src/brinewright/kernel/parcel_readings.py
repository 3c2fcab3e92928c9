"""What parcels show: the temperature at a place of a queue."""

from brinewright.jit import inner
from brinewright.kernel.layout import QU_FIRST, QU_J, QU_ROOM


@inner
def temperature_at(I, J, Q, v, from_outlet):
    """Return the temperature of the parcel `from_outlet` [kg] upstream of the outlet end [K]."""
    j = I[v + QU_J]
    room = I[v + QU_ROOM]
    first = I[v + QU_FIRST]
    place = J[j]
    passed = Q[3 * (first + place)]
    for _ in range(J[j + 1] - 1):
        if passed > from_outlet:
            break
        place += 1
        if place == room:
            place = 0
        passed += Q[3 * (first + place)]
    return Q[3 * (first + place) + 1]
