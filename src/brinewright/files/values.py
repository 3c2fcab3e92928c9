"""The value of one declared parameter, as a file states it."""

import re
from collections.abc import Container, Iterable, Mapping
from typing import Any

from brinewright.errors import nearest_names
from brinewright.files.tables import (
    Table,
    WrongValueError,
    check_range,
    described,
    read_count,
    read_number,
    read_quantity,
    read_text_value,
    read_word,
)
from brinewright.model.kind import Parameter
from brinewright.model.loop import Value
from brinewright.units import QUANTITIES

MOST_ROWS = 10_000
"""Most rows of one table of values."""
_OPPOSITES = (("lowest", "highest"), ("low", "high"), ("minimum", "maximum"), ("least", "most"))
_SPLIT = re.compile(r"[ _-]")


def read_value(
    parameter: Parameter, key: str, value: Any, ambient: float | None, schedules: Container[str]
) -> Value:
    """Return the value of a parameter in SI, or raise `WrongValueError`.

    Parameters
    ----------
    parameter : what the kind declares
    key : its name in the file
    value : what the file says
    ambient : absolute pressure of the surroundings, for gauge pressures [Pa]
    schedules : names that may stand in place of a number
    """
    quantity = parameter.quantity
    if quantity == "text":
        return read_text_value(key, value)
    if quantity == "word":
        return read_word(key, value, parameter.choices)
    if quantity == "flag":
        if not isinstance(value, bool):
            raise WrongValueError(
                f"{key} is {described(value)}; expected true or false.", f"Write {key} = true"
            )
        return value
    if quantity == "count":
        low = 0.0 if parameter.low is None else parameter.low
        return read_count(key, value, low, 1_000_000 if parameter.high is None else parameter.high)
    if quantity == "table":
        return _rows(parameter, key, value, ambient)
    if quantity == "schedule":
        if isinstance(value, str) and value in schedules:
            return value
        return _or_schedule(parameter, key, value, ambient, schedules)
    number = read_number(key, value) if quantity == "number" else read_quantity(key, value, quantity, ambient)
    check_range(key, number, quantity, parameter.low, parameter.high)
    return number


def _or_schedule(
    parameter: Parameter, key: str, value: Any, ambient: float | None, schedules: Container[str]
) -> float:
    try:
        number = read_quantity(key, value, parameter.schedule_of, ambient)
    except WrongValueError as wrong:
        names = list(schedules) if isinstance(schedules, Iterable) else []
        if isinstance(value, str) and not re.match(r"[+-]?[\d.]", value):
            near = nearest_names(value, names).strip()
            example = QUANTITIES[parameter.schedule_of].example
            message = f'{key} = "{value}" names no [schedule.{value}] and is no {parameter.schedule_of}.'
            raise WrongValueError(
                message, near or f'Write {key} = "{example}", or add that schedule.'
            ) from None
        raise WrongValueError(wrong.message, wrong.advice) from None
    check_range(key, number, parameter.schedule_of, parameter.low, parameter.high)
    return number


def _rows(
    parameter: Parameter, key: str, value: Any, ambient: float | None
) -> tuple[tuple[float | str, ...], ...]:
    columns = parameter.columns
    names = ", ".join(name for name, _ in columns)
    example = ", ".join(_cell_example(quantity) for _, quantity in columns)
    if not isinstance(value, list) or not value:
        raise WrongValueError(
            f"{key} is {described(value)}; expected rows of {names}.", f"Write {key} = [[{example}]]"
        )
    if len(value) > MOST_ROWS:
        raise WrongValueError(f"{key} has {len(value):,} rows; at most {MOST_ROWS:,} are read.")
    rows = []
    for number, row in enumerate(value, 1):
        if not isinstance(row, list) or len(row) != len(columns):
            raise WrongValueError(f"{key}: row {number} is not a list of {names}.", f"Write [{example}]")
        cells = zip(columns, row, strict=True)
        rows.append(
            tuple(
                _cell(f"{key}: row {number}: {name}", cell, quantity, ambient)
                for (name, quantity), cell in cells
            )
        )
    return tuple(rows)


def _cell_example(quantity: str) -> str:
    return f'"{QUANTITIES[quantity].example}"' if quantity in QUANTITIES else "1.0"


def _cell(name: str, value: Any, quantity: str, ambient: float | None) -> float | str:
    if quantity == "text":
        return read_text_value(name, value)
    return (
        read_quantity(name, value, quantity, ambient) if quantity in QUANTITIES else read_number(name, value)
    )


def file_key(name: str) -> str:
    """Return the name of a parameter as files write it."""
    return name.replace(" ", "_").replace("-", "_")


def read_values(table: Table, parameters: Iterable[Parameter], schedules: Container[str]) -> dict[str, Value]:
    """Return the values that a table states for these parameters; absent ones are left out."""
    values: dict[str, Value] = {}
    for parameter in parameters:
        key = file_key(parameter.name)
        raw = table.take(key)
        if raw is None:
            continue
        try:
            values[parameter.name] = read_value(parameter, key, raw, table.ambient, schedules)
        except WrongValueError as wrong:
            table.wrong(key, wrong.message, wrong.advice)
    return values


def refuse_missing(table: Table, parameters: Iterable[Parameter], *holders: Mapping[str, Value]) -> None:
    """Note each required parameter that neither the table nor a holder states."""
    for parameter in parameters:
        key = file_key(parameter.name)
        if parameter.optional or parameter.default is not None or key in table.values:
            continue
        if not any(parameter.name in holder for holder in holders):
            table.missing(key, example_of(parameter), parameter.text)


def refuse_unnamed(
    table: Table,
    parameters: Iterable[Parameter],
    values: Mapping[str, Value],
    names: Mapping[str, Iterable[str]],
) -> None:
    """Note each text that must be the name of a gas, liquid or material and is not."""
    for parameter in parameters:
        value = values.get(parameter.name)
        if not parameter.names or not isinstance(value, str):
            continue
        known = [*names[parameter.names], *parameter.choices]
        if value not in known:
            key = file_key(parameter.name)
            near = nearest_names(value, known).strip() or f"Add a table [{parameter.names}.{value}]."
            table.wrong(key, f'{key}: there is no {parameter.names} "{value[:60]}" in the rulebook.', near)


def example_of(parameter: Parameter) -> str:
    """Return a value as a file might write it."""
    quantity = parameter.schedule_of or parameter.quantity
    if quantity in QUANTITIES:
        return f'"{QUANTITIES[quantity].example}"'
    if quantity == "word":
        return f'"{parameter.choices[0]}"'
    plain = {"flag": "true", "count": "1", "number": "1.0", "text": '"..."'}
    rows = ", ".join(_cell_example(of) for _, of in parameter.columns)
    return plain.get(quantity, f"[[{rows}]]")


def refuse_reversed(table: Table, values: Mapping[str, Value]) -> None:
    """Note each pair of limits that stands the wrong way round, such as lowest above highest."""
    for name, value in values.items():
        for low, high in _OPPOSITES:
            words = _SPLIT.split(name)
            if low not in words:
                continue
            other = "_".join(high if word == low else word for word in words)
            top = values.get(other)
            if isinstance(value, float) and isinstance(top, float) and value > top:
                keys = [key for key in (file_key(name), file_key(other)) if key in table.values]
                message = f"{file_key(name)} lies above {file_key(other)}."
                table.wrong(keys[0] if keys else "", message, "Exchange the two, or look for the wrong one.")
