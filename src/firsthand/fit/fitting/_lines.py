"""From what was noted along one line to the alteration that carries it, and to its chalk line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from firsthand.alter import TakeIn
from firsthand.alter.naming.hands import hands_apart
from firsthand.alter.naming.one_hand import parted_for
from firsthand.errors import CannotAlter, NotThere
from firsthand.fit._entries import FittedEntry, Told
from firsthand.fit._fitted import ChalkLine, ChalkSide, Fitting, PointSort, Spot
from firsthand.fit.fitting._places import Run, edge_run, said_place, seam_run
from firsthand.fit.fitting._stations import SAME, Contradiction, Group, Station, is_mark, stations
from firsthand.geometry import Path
from firsthand.pattern import EdgeRef, Garment, Hand, How, Seam, stem
from firsthand.units import said

__all__ = ["Line", "chalked", "dart_entries", "edge_line", "resolved_seam", "seam_line"]


@dataclass(frozen=True, slots=True)
class Line:
    """A line that is to be changed: on which garment it is entered, the alterations, and its places.

    Parameters
    ----------
    start
        The garment with the hands taken apart where the line is on one hand only.
    entries
        The alterations, in order.
    runs
        The sides of the line, each with its share of what the two take together.
    """

    group: Group
    start: Garment
    entries: tuple[FittedEntry, ...]
    runs: tuple[tuple[Run, float], ...]
    placed: tuple[Station, ...]
    seams: tuple[str, ...] = ()

    @property
    def by_marks(self) -> bool:
        """Whether places at marks are told by them, so that each side has its own."""
        return all(run.unmoved for run, _ in self.runs)


# seams --------------------------------------------------------------------------------------------------------


def resolved_seam(garment: Garment, words: str, hand: str) -> tuple[str, str]:
    """The name common to both hands of the seam that words name, and the hand.

    Raises
    ------
    NotThere, CannotAlter
        If there is no such seam, or it does not lie on a hand.
    """
    ids = {seam.id for seam in garment.seams}
    base, own = words, ""
    for one in ("right", "left"):
        if words.endswith(f" {one}") and words in ids:
            base, own = words.removesuffix(f" {one}"), one
    if own and hand and own != hand:
        raise CannotAlter(f"{words} is told for the {hand} hand", "Name the seam without its hand.")
    hand = hand or own
    if {f"{base} right", f"{base} left"} & ids:
        return base, hand
    if words not in ids:
        names = [stem(name) for name in sorted(ids)]
        raise NotThere("seam", words, names)
    if hand:
        raise CannotAlter(f"there is one seam {words}, not one on each hand", "Leave the hand out.")
    return words, ""


def seam_line(garment: Garment, group: Group, fitting: Fitting) -> Line:
    """What was noted along a seam, as a taking in by different amounts from place to place."""
    names = (f"{group.line} {group.hand}",) if group.hand else (group.line, f"{group.line} right", f"{group.line} left")
    chosen = [seam for seam in garment.seams if seam.id in names]
    if not chosen:
        raise NotThere("seam", names[0], (seam.id for seam in garment.seams))
    for ref in (*chosen[0].a, *chosen[0].b):
        if garment.piece(ref.piece).is_card:
            raise CannotAlter(f"{ref.piece} is only a card: it has no line to move", "Draw it first.")
    start = parted_for(garment, _pieces(chosen), "fitting")[0] if group.hand else garment
    seam = next(one for one in start.seams if one.id == chosen[0].id)
    run, other = seam_run(start, seam), seam_run(start, seam, 1)
    placed = stations(run, group.points)
    share = group.points[0].share
    name = f"fitting {fitting.id} {group.line}{f' {group.hand}' if group.hand else ''}"
    each = 2 * _rounds(garment, group, name)
    told = tuple((_station(run, other, station), round(station.each * each, 4)) for station in placed)
    fields: dict[str, Told] = {"seams": (group.line,), "stations": told}
    if group.hand:
        fields["hand"] = group.hand
    if share != 0.5:
        fields["share"] = share
    entry = FittedEntry("take-in", name, fields)
    return Line(group, start, (entry,), ((run, 2 * share), (other, 2 * (1 - share))), placed, tuple(one.id for one in chosen))


def _pieces(seams: Sequence[Seam]) -> list[str]:
    return [ref.piece for seam in seams for ref in (*seam.a, *seam.b)]


def _rounds(garment: Garment, group: Group, name: str) -> int:
    """Over how many seams the girth is shared."""
    probe = TakeIn(1.0, seams=(group.line,), hand=group.hand, id=name)  # type: ignore[arg-type]
    return round(1 / next(iter(probe.shares(garment).values())))


def _station(run: Run, other: Run, station: Station) -> str:
    words = station.words
    if station.at < SAME or run.length - station.at < SAME:
        return "start" if station.at < SAME else "end"
    if run.unmoved and other.unmoved and is_mark(words, run.levels):
        return words if " " in words and words.split()[0] in ("level", "notch") else f"level {run.levels[words.lower()]}"
    return f"{run.on_ground(station.at):.2f} mm"


# edges --------------------------------------------------------------------------------------------------------


def dart_entries(garment: Garment, group: Group, fitting: Fitting) -> tuple[str, tuple[FittedEntry, ...]]:
    """What was noted of a dart: the piece it is on by now, and the alterations.

    Raises
    ------
    Contradiction
        If two amounts are told.
    """
    piece, _, dart = (part.strip() for part in group.line.partition("."))
    if not dart:
        raise CannotAlter(f"{group.line!r} is no dart of a piece", "Write it as PIECE.DART, for example front.bust dart.")
    amounts = {round(point.amount, 6) for point in group.points}
    if len(amounts) > 1:
        raise Contradiction(f"{len(amounts)} amounts are told for the dart {group.line}")
    name = f"fitting {fitting.id} {group.line}{f' {group.hand}' if group.hand else ''}"
    entries: list[FittedEntry] = []
    if group.hand:
        piece = _of_hand(garment, piece, group.hand)
        if any(cut.how is How.FOLD for cut in garment.piece(piece).cuts):
            raise CannotAlter(f"{piece} is cut on the fold", "Tell the dart for both hands, or split the piece by hand first.")
        if any(cut.how is not How.SINGLE for cut in garment.piece(piece).cuts):
            entries.append(FittedEntry("split-hands", f"{name}, hands apart", {"pieces": (piece,)}))
            piece = hands_apart(garment, piece)[1][Hand(group.hand)][0]
    fields: dict[str, Told] = {"piece": piece, "dart": dart, "amount": group.points[0].amount}
    return piece, (*entries, FittedEntry("widen-dart", name, fields))


def _of_hand(garment: Garment, piece: str, hand: str) -> str:
    """The piece of a hand, where each has its own by now."""
    return f"{piece} {hand}" if piece not in garment.pieces and f"{piece} {hand}" in garment.pieces else piece


def edge_line(garment: Garment, group: Group, fitting: Fitting) -> Line:
    """What was noted along an edge that has no partner: a hem, a neckline, an armhole."""
    piece, _, edge = (part.strip() for part in group.line.partition("."))
    if not edge:
        raise CannotAlter(f"{group.line!r} is no edge of a piece", "Write it as PIECE.EDGE, for example front.hem.")
    name = f"fitting {fitting.id} {group.line}{f' {group.hand}' if group.hand else ''}"
    start, entries = garment, []
    if group.hand:
        piece = _of_hand(garment, piece, group.hand)
        found = garment.piece(piece)
        if any(cut.how is not How.SINGLE for cut in found.cuts):
            start, sides = hands_apart(garment, piece)
            entries.append(FittedEntry("split-hands", f"{name}, hands apart", {"pieces": (piece,)}))
            there, ids = sides[Hand(group.hand)]
            found.drawn_shape.edge(edge)
            if edge not in ids:
                raise CannotAlter(f"{piece}.{edge} lies on the fold and cannot be moved", "Name another edge.")
            piece, edge = there, ids[edge]
        elif all(part.hand.value != group.hand for part in garment.parts_of(piece)):
            raise CannotAlter(f"there is one {piece}, not one on each hand", "Leave the hand out.")
    if start.piece(piece).is_card:
        raise CannotAlter(f"{piece} is only a card: it has no line to move", "Draw it first.")
    start.piece(piece).drawn_shape.edge(edge)
    run = edge_run(start, piece, edge)
    placed = stations(run, group.points)
    told = tuple((_station(run, run, one), round(-one.each, 4)) for one in placed)
    entries.append(FittedEntry("move-edge", name, {"edges": (f"{piece}.{edge}",), "stations": told}))
    return Line(group, start, tuple(entries), ((run, 1.0),), placed)


# chalk --------------------------------------------------------------------------------------------------------


def chalked(line: Line, after: Garment) -> ChalkLine:
    """The new line on both sides, once the garment has it."""
    run = line.runs[0][0]
    sides = [side for one, share in line.runs for side in _sides(line, one, share, after)]
    starts, ends = _stretch(line.placed, run.length)
    return ChalkLine(
        name=line.group.name,
        line=line.group.line,
        hand=line.group.hand,
        seams=line.seams,
        sides=tuple({(side.piece, side.edge): side for side in sides}.values()),
        starts=starts,
        ends=ends,
        length=run.length,
        crossing=tuple(dict.fromkeys(_crossing(line))),
        words=tuple(_words(line)),
        start_name=f"the {run.beside(0)}",
    )


def _sides(line: Line, run: Run, share: float, after: Garment) -> Iterator[ChalkSide]:
    spots: dict[int, list[Spot]] = {}
    whole = line.runs[0][0].length
    for station in line.placed:
        sewn = _on(line, run, station, whole)
        k, at = run.spot(sewn)
        link = run.now[k]
        path = link.shape.edge(link.edge).path
        amount = station.each * share
        old = path.at(at)
        new = old + path.tangent_at(at).left * amount
        spots.setdefault(k, []).append(Spot(said_place(station.words), at, amount, old, new))
    for k, link in enumerate(run.now):
        edge = link.shape.edge(link.edge)
        new_path = _edge_after(after, link.piece, link.edge, edge.path)
        if k in spots:
            yield ChalkSide(link.piece, link.edge, edge.path, new_path, tuple(spots[k]), edge.allowance, edge.inlay)


def _edge_after(after: Garment, piece: str, edge: str, old: Path) -> Path:
    found = after.pieces.get(piece)
    if found is None or found.shape is None or all(one.id != edge for one in found.shape.edges):
        return old
    return found.shape.edge(edge).path


def _on(line: Line, run: Run, station: Station, whole: float) -> float:
    """Where a station is on this side: at its own mark if it has one, else in proportion."""
    if line.by_marks and is_mark(station.words, run.levels):
        try:
            return run.place(station.words)
        except (NotThere, CannotAlter):
            pass
    return station.at / whole * run.length


def _stretch(placed: Sequence[Station], length: float) -> tuple[float, float]:
    """From where to where the line changes."""
    moving = [k for k, station in enumerate(placed) if abs(station.each) > SAME]
    if not moving:
        return 0.0, 0.0
    first, last = moving[0], moving[-1]
    starts = placed[first - 1].at if first else 0.0
    return starts, placed[last + 1].at if last + 1 < len(placed) else length


def _crossing(line: Line) -> Iterator[str]:
    """What meets the line at an end where it changes."""
    ends = ((0, line.placed[0]), (-1, line.placed[-1]))
    for which, station in ends:
        if abs(station.each) <= SAME:
            continue
        for run, _ in line.runs:
            link, edge = run.now[which], run.beside(which)
            refs = [seam.id for seam in line.start.seams if _names(seam, link.piece, edge)]
            bases = [stem(name) for name in refs]
            fate = link.shape.edge(edge).fate
            yield from (
                (f"the seam {base}" for base in dict.fromkeys(bases))
                if bases
                else ([f"the {fate.kind.value} at {link.piece}.{edge}"] if fate else [])
            )


def _names(seam: Seam, piece: str, edge: str) -> bool:
    refs: tuple[EdgeRef, ...] = (*seam.a, *seam.b)
    return any((ref.piece, ref.edge) == (piece, edge) for ref in refs)


VERBS = {
    PointSort.PIN: ("taken in", "let out"),
    PointSort.SEWN: ("taken in", "let out"),
    PointSort.HEM: ("up", "down"),
    PointSort.EDGE: ("cut away", "added"),
}


def _words(line: Line) -> Iterator[str]:
    sides = "on each side of the seam" if len(line.runs) == 2 else "on the edge"
    for station in line.placed:
        if abs(station.each) <= SAME:
            yield f"to nothing at {said_place(station.words)}"
        else:
            verb = VERBS[line.group.sort][station.each < 0]
            yield f"{said_place(station.words)}: {said(abs(station.each))} {verb} {sides}"
