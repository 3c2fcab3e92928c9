"""Random briefs for Kettle, from a seed: what must be cooled, with what at hand, what matters."""

import random
from pathlib import Path

from brinewright.files import parse_needs, read_rulebook
from brinewright.model.brief import AIMS, LAYOUTS, Brief

USES = (("ZN", "room.cave", 40, 260), ("MC", "machine.bench", 20, 280))


def quoted(words: list[str]) -> str:
    """Return words as a list of a file."""
    return "[" + ", ".join(f'"{word}"' for word in words) + "]"


def point(time: str, heat: int) -> str:
    """Return a point of a schedule."""
    return f'["{time}", "{heat} kW"]'


def random_text(seed: int) -> str:
    """Return the text of a brief; most can be met, some can't."""
    draw = random.Random(seed)
    lines = ['format = "brinewright/brief/1"', f'name = "Brief {seed}"', 'rulebook = "kettle"']
    schedules: list[str] = []
    for number in range(draw.randint(1, 5)):
        letters, use, low, high = draw.choice(USES)
        tag = f"{letters}-{601 + number}"
        heat = draw.randint(low, high)
        lines += ["[[consumer]]", f'tag = "{tag}"', f'use = "{use}"']
        if draw.random() < 0.4:
            rests, night = draw.randint(5, 9), draw.randint(30, 90)
            lines.append(f'heat = "day {number}"')
            dark = heat * night // 100
            schedules += [
                f'[schedule."day {number}"]',
                'quantity = "power"',
                f"points = [{point('00:00', dark)}, {point(f'0{rests}:00', heat)}, {point('20:00', dark)}]",
            ]
        else:
            lines.append(f'heat = "{heat} kW"')
        lines.append(f'distance = "{draw.randint(5, 120)} m"')
        if draw.random() < 0.3:
            lines.append(f'highest_temperature = "{draw.randint(24, 45)} degC"')
        if draw.random() < 0.2:
            lines.append(f"shed = {draw.randint(1, 3)}")
    if draw.random() < 0.3:
        lines += ["[[source]]", 'tag = "HR-801"', 'use = "heat-source.rock"']
    elif draw.random() < 0.2:
        lines += ["[[source]]", 'tag = "HR-801"', 'use = "heat-source.heater"']
        lines.append(f'power = "{draw.randint(50, 900)} kW"')
    lines.append("[at_hand]")
    if draw.random() < 0.5:
        lines.append(f'power = "{draw.choice([50, 200, 600, 1500])} kW"')
    if draw.random() < 0.3:
        lines.append(f'material = {{ deep-steel = "{draw.randint(1, 20)} t" }}')
    lines.append('equipment = { "steam-vessel.latent" = 0 }' if draw.random() < 0.7 else "")
    if draw.random() < 0.5:
        lines.append("[survive]")
        lines.append(f"turbines = {draw.randint(0, 1)}")
        lines.append(f"chillers = {draw.randint(0, 1)}")
        lines.append(f'without_power = "{draw.choice([0, 2, 5, 10])} min"')
    lines.append("[wanted]")
    if draw.random() < 0.3:
        lines.append(f'supply = "{draw.randint(6, 18)} degC"')
    if draw.random() < 0.3:
        lines.append(f'margin = "{draw.choice([5, 10, 20])} %"')
    if draw.random() < 0.5:
        chosen = draw.sample(LAYOUTS, draw.randint(1, 4))
        lines.append(f"layouts = {quoted(sorted(chosen))}")
    aims = draw.sample(AIMS, draw.randint(0, 3))
    if aims:
        lines.append(f"matters = {quoted(aims)}")
    return "\n".join([*lines, *schedules]) + "\n"


def random_brief(seed: int) -> Brief:
    """Return a random brief."""
    return parse_needs(random_text(seed), Path(), read_rulebook("kettle"))[0]
