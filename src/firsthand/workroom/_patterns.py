"""From the files of a pattern to the pattern."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from firsthand.findings import Severity, kind
from firsthand.pattern import Cut, Haberdashery, Level, Pattern, Piece, PrintedScale, Rough, Seam, Shape, stem
from firsthand.units import parse_angle
from firsthand.workroom._reading import Gathered, Raw
from firsthand.workroom._refs import Names, Report, applied_of, expanded_closure, expanded_opening, expanded_seam
from firsthand.workroom._shapes import shape_of
from firsthand.workroom._words import listed
from firsthand.workroom.schema import PatternFile, PieceFile, PieceTable, ShapeTable

__all__ = ["STRAY_FILE", "Loader", "pattern_of"]

STRAY_FILE = kind(
    "stray-file",
    Severity.NOTE,
    "The folder of a pattern holds a piece's file that the pattern does not name, so the piece is not used. Add the piece to "
    "pattern.toml, or take the file away.",
)

Files = Mapping[str, bytes | None]


def pattern_of(name: str, folder: str, files: Files, gathered: Gathered) -> tuple[Pattern | None, Raw[PatternFile]]:
    """A pattern from its files.

    Parameters
    ----------
    name
        The pattern's id: the name of its folder.
    folder
        The folder's place in the workroom, ending in ``/``.
    files
        The contents of its files by their path below ``folder``.
    gathered
        Where problems and findings are entered.

    Returns
    -------
    tuple
        The pattern (None if ``pattern.toml`` could not be understood; without its problems if there are some), and its file.
    """
    return Loader(name, folder, files, gathered).load()


class Loader:
    """Makes a pattern from its files."""

    def __init__(self, name: str, folder: str, files: Files, gathered: Gathered) -> None:
        self._name, self._folder, self._files, self._gathered = name, folder, files, gathered
        self._file = f"{folder}pattern.toml"
        self._edges: dict[str, Sequence[str]] = {}

    def _problem(self, place: str, found: str, expected: str, remedy: str) -> None:
        self._gathered.problem(self._file, place, found, expected, remedy)

    def load(self) -> tuple[Pattern | None, Raw[PatternFile]]:
        """The pattern, and its file."""
        raw = self._gathered.read(self._file, self._files.get("pattern.toml"), PatternFile)
        return self._made(raw.value, raw) if raw.value else None, raw

    def _made(self, table: PatternFile, raw: Raw[Any]) -> Pattern:
        for what, place in (
            ("piece", "piece"),
            ("seam", "seam"),
            ("level", "level"),
            ("opening", "opening"),
            ("closure", "closure"),
        ):
            self._gathered.unique(self._file, what, raw.ids(place), place)
        self._sizes(table, raw)
        pieces = {piece.id: self._piece(piece, table, raw) for piece in table.piece}
        self._strays([*raw.ids("piece"), *pieces])
        names = Names(pieces, self._edges, [other for other in raw.ids("piece") if other not in pieces])
        pattern = Pattern(
            id=self._name,
            name=self._name if table.name is None else table.name,
            sizes=table.sizes,
            pieces=pieces,
            seams=self._seams(table, names, raw),
            levels=tuple(Level(v.id, v.id if v.name is None else v.name, v.body, v.limb, v.extra) for v in table.level),
            closures=tuple(
                closure
                for number, item in raw.numbered("closure", table.closure)
                for closure in expanded_closure(item, names, self._reporter(f"closure[{number}]"))
            ),
            haberdashery=tuple(Haberdashery(h.kind, h.count, h.length, h.size, h.colour) for h in table.haberdashery),
            chart=table.chart,
            trimmed=table.trimmed,
            scale=PrintedScale(table.scale.printed, table.scale.measured) if table.scale else None,
            expects_stretch=table.expects_stretch,
            expects_thickness=table.expects_thickness,
            applied=tuple(
                applied_of(item, names, self._reporter(f"applied[{number}]"))
                for number, item in raw.numbered("applied", table.applied)
            ),
        )
        return self._with_openings(pattern, table, names, raw)

    def _reporter(self, place: str) -> Report:
        return partial(_report_below, self._problem, place)

    def _sizes(self, table: PatternFile, raw: Raw[Any]) -> None:
        for number, size in enumerate(table.sizes, 1):
            if size in table.sizes[: number - 1]:
                self._problem(f"sizes[{number}]", repr(size), "each size once", "Take it out.")
        named = [(f"trimmed[{n}]", size) for n, size in enumerate(table.trimmed, 1)]
        named += [(f"chart.{size}", size) for size in table.chart]
        named += [(f"piece[{n}].rough.{size}", size) for n, one in raw.numbered("piece", table.piece) for size in one.rough]
        for place, size in named:
            if size not in table.sizes:
                self._problem(place, repr(size), f"one of {listed(table.sizes)}", "Write one of these sizes.")

    # pieces -------------------------------------------------------------------------------------------------

    def _piece(self, item: PieceTable, table: PatternFile, raw: Raw[Any]) -> Piece:
        sizes = self._shapes(item, table, raw)
        return Piece(
            id=item.id,
            number=item.number,
            name=item.id if item.name is None else item.name,
            cuts=tuple(Cut(cut.role, cut.how, cut.count) for cut in item.cut),
            rough={size: Rough(length, width) for size, (length, width) in item.rough.items()},
            sizes=sizes,
            fold=item.fold,
            drawn=item.drawn,
            condition=item.condition,
            turning=item.turning,
            grain_tolerance=parse_angle(item.grain_tolerance),
        )

    def _shapes(self, item: PieceTable, table: PatternFile, raw: Raw[Any]) -> Mapping[str, Shape]:
        path = f"pieces/{item.id}.json"
        if path not in self._files:
            return {}
        file = f"{self._folder}{path}"
        read = self._gathered.read(file, self._files[path], PieceFile)
        self._known_edges(item.id, read.data)
        if read.value is None:
            return {}
        if read.value.piece != item.id:
            self._gathered.problem(file, "piece", repr(read.value.piece), repr(item.id), "Name the file after its piece.")
        shapes = self._outlines(item, read.value.sizes, (file, ""), table, raw)
        self._fold(item, shapes, raw)
        return shapes

    def _outlines(
        self, item: PieceTable, sizes: Mapping[str, ShapeTable], where: tuple[str, str], table: PatternFile, raw: Raw[Any]
    ) -> Mapping[str, Shape]:
        """The outlines of a piece; ``where`` is the file, and the place of the sizes in it."""
        file, prefix = where
        shapes: dict[str, Shape] = {}
        for size, shape_table in sizes.items():
            place = f"{prefix}sizes.{size}"
            spoilt = self._is_spoilt(file, place)
            if size not in table.sizes:
                remedy = f"Write one of these sizes, or add it to sizes{'' if prefix else ' in pattern.toml'}."
                self._gathered.problem(file, place, repr(size), f"one of {listed(table.sizes)}", remedy)
            if spoilt:
                continue  # what is left of it would only look broken
            shape = shape_of(shape_table, file, place, self._gathered)
            if shape is not None:
                self._levels(shape, file, place, raw)
                shapes[size] = shape
        self._one_topology(shapes, file, prefix)
        return {size: shapes[size] for size in table.sizes if size in shapes}

    def _is_spoilt(self, file: str, place: str) -> bool:
        return any(
            problem.file == file and (problem.place == place or problem.place.startswith(f"{place}."))
            for problem in self._gathered.problems
        )

    def _known_edges(self, piece: str, data: Mapping[str, Any]) -> None:
        """Ids of all edges that the file names, even of those with something wrong, so that no seam is blamed for them."""
        sizes = data.get("sizes")
        found: dict[str, None] = {}
        for shape in sizes.values() if isinstance(sizes, dict) else ():
            edges = shape.get("edges") if isinstance(shape, dict) else None
            for edge in edges if isinstance(edges, list) else ():
                if isinstance(edge, dict) and isinstance(edge.get("id"), str):
                    found[edge["id"]] = None
        if found:
            self._edges[piece] = tuple(found)

    def _levels(self, shape: Shape, file: str, at: str, raw: Raw[Any]) -> None:
        known = raw.ids("level")
        for number, line in enumerate(shape.levels, 1):
            if line.level not in known:
                place, remedy = f"{at}.levels[{number}].level", "Name one of them, or add the level to the pattern's."
                self._gathered.problem(file, place, repr(line.level), f"a level of the pattern: {listed(known)}", remedy)

    def _one_topology(self, shapes: Mapping[str, Shape], file: str, prefix: str) -> None:
        if not shapes:
            return
        first, *others = shapes
        wanted = [edge.id for edge in shapes[first].edges]
        for size in others:
            found = [edge.id for edge in shapes[size].edges]
            if found != wanted:
                expected = f"the same edges in the same order as size {first}: {', '.join(wanted)}"
                self._gathered.problem(file, f"{prefix}sizes.{size}.edges", ", ".join(found), expected, "Name the edges alike.")

    def _fold(self, item: PieceTable, shapes: Mapping[str, Shape], raw: Raw[Any]) -> None:
        if not item.fold or not shapes:
            return
        place = f"piece[{raw.ids('piece').index(item.id) + 1}].fold"
        for shape in shapes.values():
            known = [edge.id for edge in shape.edges]
            if item.fold not in known:
                self._problem(place, repr(item.fold), f"an edge of {item.id}: {listed(known)}", "Name one of these edges.")
                return

    def _strays(self, known: Iterable[str]) -> None:
        wanted = {f"pieces/{name}.json" for name in known}
        for path in sorted(self._files):
            if path.startswith("pieces/") and path.endswith(".json") and path not in wanted:
                where = f"{self._folder}{path}"
                remedy = "Add the piece to pattern.toml, or take the file away."
                self._gathered.findings.append(
                    STRAY_FILE(f"{where} is not named in pattern.toml", where=(self._name, where), remedy=remedy)
                )

    # what ties them together --------------------------------------------------------------------------------

    def _seams(self, table: PatternFile, names: Names, raw: Raw[Any]) -> tuple[Seam, ...]:
        tables = {seam.id: seam for seam in table.seam}
        made: list[Seam] = []
        for number, item in raw.numbered("seam", table.seam):
            made += expanded_seam(item, tables, names, self._reporter(f"seam[{number}]"))
        self._clashes(made, raw)
        known = {seam.id for seam in made} | set(raw.ids("seam"))
        known |= {f"{name} {hand}" for name in raw.ids("seam") for hand in ("right", "left")}
        for number, item in raw.numbered("seam", table.seam):
            for place, name in enumerate(item.after, 1):
                if name not in known:
                    expected = f"a seam of this pattern: {listed(raw.ids('seam'))}"
                    self._problem(f"seam[{number}].after[{place}]", repr(name), expected, "Name one of these seams.")
        return tuple(made)

    def _clashes(self, made: Sequence[Seam], raw: Raw[Any]) -> None:
        ids, written = [seam.id for seam in made], raw.ids("seam")
        for name in sorted({name for name in ids if ids.count(name) > 1 and written.count(stem(name)) < 2}):
            self._problem("seam", f"two of {name!r} once hands are put in", "an id used once", "Give one seam another id.")

    def _with_openings(self, pattern: Pattern, table: PatternFile, names: Names, raw: Raw[Any]) -> Pattern:
        closures = [closure.id for closure in pattern.closures]
        known = {*closures, *raw.ids("closure")}
        openings = tuple(
            opening
            for number, item in raw.numbered("opening", table.opening)
            for opening in expanded_opening(item, closures, names, self._reporter(f"opening[{number}]"))
        )
        for number, item in raw.numbered("opening", table.opening):
            if item.closure and item.closure not in known:
                expected = f"a closure of this pattern: {listed(sorted(known))}"
                self._problem(f"opening[{number}].closure", repr(item.closure), expected, "Name one of these closures.")
        return replace(pattern, openings=openings)


def _report_below(report: Report, place: str, at: str, found: str, expected: str, remedy: str) -> None:
    report(f"{place}.{at}", found, expected, remedy)
