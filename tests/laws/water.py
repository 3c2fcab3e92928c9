"""Water and gases from CoolProp, so that the laws are tested against properties that are not ours."""

from CoolProp.CoolProp import PropsSI


def water(output, **state):
    """One property of water; state as two of P, T, H, S, Q in SI."""
    (a, x), (b, y) = state.items()
    return PropsSI(output, a, x, b, y, "Water")


def inlet(inputs):
    """State of the steam before the turbine."""
    if "p1_Pa" in inputs:
        return {"T": inputs["T1_K"], "P": inputs["p1_Pa"]}
    return {"T": inputs["T1_K"], "Q": inputs["x1"]}


def exhaust_pressure(inputs):
    if "p2_Pa" in inputs:
        return inputs["p2_Pa"]
    return water("P", T=inputs["T2sat_K"], Q=0)


def expand(inputs) -> tuple[float, float]:
    """Enthalpies before and after an ideal expansion, [J/kg] and [J/kg]."""
    state = inlet(inputs)
    return water("H", **state), water("H", P=exhaust_pressure(inputs), S=water("S", **state))


def gas(name, temperature, pressure):
    """Conductivity, kinematic viscosity, thermal diffusivity and Prandtl number of a gas."""
    k, mu, rho, c = (PropsSI(x, "T", temperature, "P", pressure, name) for x in ("L", "V", "D", "C"))
    return k, mu / rho, k / (rho * c), c * mu / k
