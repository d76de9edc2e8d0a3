"""Write the reference pages that are made from the program itself: ``python tools/reference.py``."""

from __future__ import annotations

import dataclasses
import enum
import importlib
import inspect
import os
import pkgutil
import re
import subprocess
import sys
import typing
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import firsthand
from firsthand.alter import ALTERATIONS, Entry
from firsthand.draft import DRAFTS
from firsthand.findings import catalogue
from firsthand.units import Angle, Length, Share, Unit, format_length

DOCS = Path(__file__).parents[1] / "docs"


def findings_page() -> str:
    """All codes of findings, with what they mean."""
    for module in pkgutil.walk_packages(firsthand.__path__, "firsthand."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    rows = [
        f"| `{entry.code}` | {entry.severity.value} | {' '.join(entry.explanation.split())} |" for entry in catalogue().values()
    ]
    head = [
        "# Findings",
        "",
        "What the program may notice, by code. `fault`: what depends on it would come out wrong; `doubt`: look again before"
        " the scissors; `note`: worth knowing.",
        "",
        "| code | usually | what it means and what to do |",
        "| --- | --- | --- |",
    ]
    return "\n".join([*head, *rows]) + "\n"


def commands_page() -> str:
    """The help of every command."""
    pages = ["# Commands", ""]
    for name in ("", *_commands()):
        title = f"firsthand {name}".strip()
        pages += [f"## `{title}`", "", "```text", _help(name), "```", ""]
    return "\n".join(pages).rstrip() + "\n"


def _commands() -> list[str]:
    import firsthand.cli._alter
    import firsthand.cli._body
    import firsthand.cli._cloth
    import firsthand.cli._commands
    import firsthand.cli._import  # noqa: F401  # importing them registers their commands
    from firsthand.cli._app import app

    names = [str(entry.name or entry.callback.__name__) for entry in app.registered_commands if entry.callback]
    for group in app.registered_groups:
        inner = group.typer_instance.registered_commands if group.typer_instance else []
        names += [f"{group.name} {entry.name or entry.callback.__name__}" for entry in inner if entry.callback]
    return names


def _help(name: str) -> str:
    command = [sys.executable, "-m", "firsthand", *name.split(), "--help"]
    plain = {**os.environ, "COLUMNS": "100", "NO_COLOR": "1", "TERM": "dumb"}
    said = subprocess.run(command, capture_output=True, text=True, check=True, env=plain).stdout
    return "\n".join(line.rstrip() for line in said.replace("python -m firsthand", "firsthand").strip().splitlines())


# kinds --------------------------------------------------------------------------------------------------------

SHOWN = frozenset({
    "fullness", "level", "crotch-curve.longer", "grade.size", "move-dart.along", "notches.at", "sleeve-cap.amount",
    "turn-of-cloth.edges", "move-edge.stations", "onto", "seams", "slash.spread", "stretch.across",
    "take-in.amount",
})  # fmt: skip
"""Fields that an example shows though they may be left out."""
LIKE: Mapping[str, Any] = {
    "blend-sizes.at": ["12 at bust", "16 at hip"],
    "close-dart.dart": "bust dart", "move-dart.dart": "bust dart", "split-dart.dart": "bust dart",
    "turn-dart.dart": "bust dart", "turn-dart.to": "shoulder at 50 %",
    "flare.amount": 60, "flare.edges": ["front.hem", "back.hem"], "fullness.amount": 20, "fullness.edge": "front.waist",
    "move-dart.along": -1.5, "slash.lines": [["hem at 30 %", "waist at 70 %"], ["hem at 60 %", "waist at 40 %"]],
    "slash.spread": 3,
    "amount": 2.5, "depth": 6, "fullness": 1.5, "id": "my-piece", "level": "hip", "measured": 9.7, "onto": ["skirt.hem right"],
    "move-edge.edges": ["front.armhole"], "move-edge.stations": [["start", 0], ["notch n1", "8 mm"], ["end", 0]],
    "neckline.depths": [["front.neck", 2], ["back.neck", 0]],
    "patch-pocket.depth": 16, "pleat.depth": 2, "pleat.edge": "waist", "printed": 10, "seams": ["side"],
    "belly.centre": "crotch at 50 %", "belly.hinge": "side at level hip", "bust.amount": 4, "bust.dart": "bust dart",
    "bust.hinge": "armhole at notch armhole", "bust.lower": "hem at 40 %", "calf.amount": 2, "calf.level": "calf",
    "upper-arm.level": "upper arm",
    "calf.seams": ["side", "inseam"], "crotch-curve.longer": 1.5,
    "crotch-curve.piece": "back", "notches.at": ["level hip", "40 %"], "round-back.centre": "centre at 25 %",
    "round-back.hinge": "armhole at 50 %", "seat.centre": "crotch at 50 %", "seat.hinge": "side at level hip",
    "shoulder-slope.amount": 0.8, "sleeve-cap.amount": 1, "sleeve-cap.seam": "sleeve", "split-piece.end": "armhole at 60 %",
    "split-piece.piece": "back", "split-piece.start": "centre at 18 %", "thickness.expected": 0.05,
    "thickness.thickness": 0.22, "turn-of-cloth.edges": ["upper", "end"], "turn-of-cloth.piece": "collar",
    "turn-of-cloth.thickness": 0.2, "join.seam": "yoke", "split-hands.pieces": ["front"], "mirror.pieces": ["front"],
    "unfold.piece": "back", "grade.size": "L", "close-dart.into": "gathers",
    "stretch.across": [["waist", "8 %"], ["hip", "10 %"]], "tuck.depth": 0.5, "tuck.edge": "yoke", "width": 14,
}  # fmt: skip
"""What fields hold in an example, by name or by kind and name, lengths in cm; others hold what suits their type."""
ANY: Mapping[str, Any] = {
    "length": 2.5, "share": 0.5, "angle": 30, "text": "front", "number": 1, "true or false": True, "two lengths": [12, 20],
}  # fmt: skip


PURPOSES: Mapping[str, tuple[str, ...]] = {
    "To fit the body": (
        "take-in", "lengthen", "bust", "belly", "seat", "round-back", "shoulder-slope", "sleeve-cap", "upper-arm", "calf",
        "crotch-curve",
    ),
    "For the look": ("hem", "neckline", "move-edge", "flare", "fullness", "slash", "pleat", "tuck"),
    "Darts": ("turn-dart", "move-dart", "widen-dart", "split-dart", "close-dart"),
    "Sizes": ("blend-sizes", "grade", "scale"),
    "For the cloth": ("stretch", "thickness", "turn-of-cloth"),
    "Pieces": ("split-piece", "join", "mirror", "unfold", "split-hands"),
    "To put right in the end": ("true", "notches"),
}  # fmt: skip
"""All kinds of alterations by what they are for."""


def _by_purpose() -> Iterator[str]:
    """A list of all alterations; fails if one is in none or in two."""
    listed = [kind for kinds in PURPOSES.values() for kind in kinds]
    if sorted(listed) != sorted(ALTERATIONS):
        raise ValueError(f"not in one purpose: {set(listed) ^ set(ALTERATIONS)}")
    for purpose, kinds in PURPOSES.items():
        yield f"- {purpose}: {', '.join(f'[{kind}](#{kind})' for kind in kinds)}"


def kinds_page() -> str:
    """All kinds of alterations and drafted pieces, with their fields."""
    lines = [
        "# Kinds of alterations and drafted pieces",
        "",
        "They stand in a costume's `costume.toml` behind the garment they are for. Alterations are made first, in the order in "
        "which they stand, then drafted pieces, which follow the edges as they are by then.",
        "",
        'A length is a number in the units of the file, or a text with its unit: `2.5`, `"1/2 in"`. A share is `0.4` or '
        '`"40 %"`, an angle is in degrees. An edge is written `"PIECE.EDGE [left|right] [ROLE] [no. N]"`.',
        "",
        "A place on an edge is written `start`, `end`, `12 cm` from its start, `-3 cm` back from its end, `40 %` of the way "
        "along, `notch ID`, `dart ID` (the middle of its mouth), `pleat ID` or `level ID` (where that level meets it); a place "
        "on a piece `EDGE at PLACE`, as `side at level hip`; a point inside `point of DART`, `level ID at 40 %` of the way "
        "across from the left as drawn, `10 cm, 25 cm` as drawn, or a place on the outline. `firsthand names COSTUME GARMENT` "
        "lists the ids of pieces, edges, darts, notches, levels and seams.",
        "",
        *_by_purpose(),
        "",
    ]
    for title, table, registry in (("Alterations", "alteration", ALTERATIONS), ("Drafted pieces", "draft", DRAFTS)):
        lines += [f"## {title}", ""]
        for kind, cls in sorted(registry.items()):
            lines += [*_kind(table, kind, cls), ""]
    return "\n".join(lines).rstrip() + "\n"


def _kind(table: str, kind: str, cls: type[Any]) -> Iterator[str]:
    prose, told = _documented(cls)
    yield from (f"### `{kind}`", "", *prose, "")
    yield from ("```toml", f"[[garment.{table}]]", f'kind = "{kind}"', *_example(kind, cls), "```", "")
    yield from ("| field | what is written | if left out | meaning |", "| --- | --- | --- | --- |")
    for field in _fields_in_order(cls):
        row = (
            f"`{field.name}`",
            _type_words(_hints(cls)[field.name]),
            _default(cls, field),
            told.get(field.name, "–").replace("|", r"\|"),
        )
        yield f"| {' | '.join(row)} |"


def _hints(cls: type[Any]) -> dict[str, Any]:
    return typing.get_type_hints(cls, include_extras=True)


def _fields_in_order(cls: type[Any]) -> list[dataclasses.Field[Any]]:
    """Those that must be there first, what every entry of a stack has last."""
    common = {field.name for field in dataclasses.fields(Entry)}
    return sorted(dataclasses.fields(cls), key=lambda field: (field.name in common, not _is_needed(field)))


def _is_needed(field: dataclasses.Field[Any]) -> bool:
    return field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING


def _documented(cls: type[Any]) -> tuple[list[str], dict[str, str]]:
    """What a docstring says of a kind, and what it and those of its bases say of each of its fields."""
    prose, _, rest = inspect.cleandoc(cls.__doc__ or "").partition("\nParameters\n----------\n")
    told: dict[str, str] = _documented(cls.__base__)[1] if dataclasses.is_dataclass(cls.__base__) else {}
    own: dict[str, str] = {}
    names: list[str] = []
    for line in rest.partition("\n\n")[0].splitlines():
        if not line.startswith(" "):
            names = [name.strip() for name in line.split(",")]
        else:
            own |= {name: _plain(f"{own.get(name, '')} {line}") for name in names}
    return ["\n\n".join(_plain(part) for part in prose.strip().split("\n\n"))], told | own


def _plain(text: str) -> str:
    """Without the marks of docstrings, and without the program's own unit: what people write is in the file's."""
    text = re.sub(r":\w+:`~?([^`]*)`", r"`\1`", " ".join(text.split())).replace("``", "`")
    return re.sub(r", mm\b(?! of arc)", "", text)


def _type_words(hint: Any) -> str:
    """A type in the words of people.

    Examples
    --------
    >>> _type_words(Length), _type_words(Length | None), _type_words(tuple[str, ...]), _type_words(bool)
    ('length', 'length', 'list of texts', 'true or false')
    """
    simple = [(Length, "length"), (Share, "share"), (Angle, "angle"), (str, "text"), (bool, "true or false")]
    simple += [(int, "whole number"), (float, "number")]
    for known, words in simple:
        if hint == known:
            return words
    inner = [one for one in typing.get_args(hint) if one not in (type(None), Ellipsis)]
    if typing.get_origin(hint) is typing.Literal:
        return " or ".join(f"`{one}`" for one in inner if one)
    if typing.get_origin(hint) is tuple:
        if Ellipsis in typing.get_args(hint):
            return f"list of {_many(_type_words(inner[0]))}"
        if len({_type_words(one) for one in inner}) > 1:
            return f"pair of {' and '.join(map(_type_words, inner))}"
        return f"{ {2: 'two', 3: 'three'}.get(len(inner), str(len(inner))) } {_many(_type_words(inner[0]))}"
    if inspect.isclass(hint) and issubclass(hint, enum.Enum):
        return " or ".join(f"`{one.value}`" for one in hint)
    return " or ".join(_type_words(one) for one in inner)


def _many(words: str) -> str:
    """The plural of a type's words."""
    first, _, rest = words.partition(" ")
    return {"list": f"lists {rest}", "pair": f"pairs {rest}", "two": f"pairs of {rest}"}.get(first, f"{words}s")


def _default(cls: type[Any], field: dataclasses.Field[Any]) -> str:
    if _is_needed(field):
        return "must be there"
    value, words = field.default, _type_words(_hints(cls)[field.name])
    if isinstance(value, bool):
        return f"`{str(value).lower()}`"
    if isinstance(value, enum.Enum):
        return f"`{value.value}`"
    if value in (None, "", ()) or value is dataclasses.MISSING:
        return "–"
    if words == "length" and value:
        return format_length(value, Unit.CM)
    return f"`{value:g}`" if isinstance(value, int | float) else f"`{value}`"


def _example(kind: str, cls: type[Any]) -> Iterator[str]:
    for field in _fields_in_order(cls):
        if _is_needed(field) or not SHOWN.isdisjoint({field.name, f"{kind}.{field.name}"}):
            words = _type_words(_hints(cls)[field.name])
            value = LIKE.get(f"{kind}.{field.name}", LIKE.get(field.name))
            fits = value is not None and isinstance(value, list) == words.startswith("list of ")
            yield f"{field.name} = {_toml(value if fits else _any(words))}"


def _any(words: str) -> Any:
    if words.startswith("list of pairs of "):
        one, _, two = words.removeprefix("list of pairs of ").partition(" and ")
        return [[_any(one), _any(two or one.removesuffix("s"))]]
    if words.startswith("list of "):
        return [_any(words.removeprefix("list of ").removesuffix("s"))]
    return ANY.get(words, words.split("`")[1] if "`" in words else 1)


def _toml(value: Any) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    return f'"{value}"' if isinstance(value, str) else str(value).lower()


PAGES = {"findings.md": findings_page, "commands.md": commands_page, "kinds.md": kinds_page}

if __name__ == "__main__":
    for page, write in PAGES.items():
        (DOCS / page).write_text(write(), "utf-8")
