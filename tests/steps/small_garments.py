"""Small garments of our own for the tests of steps, plans and buy lists: a skirt, a shirt, a lined jerkin."""

from __future__ import annotations

from dataclasses import replace

from firsthand.fabric import Fabric, Nap, Structure
from firsthand.geometry import Affine, Cubic, Path, Point
from firsthand.pattern import (
    Closure,
    ClosureKind,
    Corner,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    Haberdashery,
    Hand,
    How,
    InnerLine,
    InnerLineKind,
    Notch,
    Pattern,
    Piece,
    Pleat,
    Rough,
    Seam,
    SeamKind,
    Shape,
    make_garment,
)

RIGHT, LEFT = Hand.RIGHT, Hand.LEFT
HEM, FACING, BINDING = Fate(FateKind.HEM, 30), Fate(FateKind.FACING), Fate(FateKind.BINDING)

FABRICS = {
    fabric.id: fabric
    for fabric in (
        Fabric("linen", "Shirt linen", 1400, sort="linen", fibre="linen", colour="white", weight=180, shrink_along=0.06),
        Fabric("melton", "Slate melton", 1500, sort="melton", fibre="wool", colour="slate", weight=600, thickness=2.6),
        Fabric("twill", "Lining twill", 1400, sort="lining", fibre="viscose", colour="green", weight=90),
        Fabric("fusible", "Fusible", 900, sort="fusible interfacing", fibre="cotton", weight=60, fusible=True),
        Fabric(
            "velour", "Velour", 1500, structure=Structure.KNIT, sort="velour", fibre="polyester", colour="teal",
            weight=260, stretch_across=0.4, nap=Nap.ONE_WAY,
        ),
    )
}  # fmt: skip


def ref(word: str, hand: Hand = Hand.CENTRE, role: str = "shell") -> EdgeRef:
    """An edge from ``piece.edge``."""
    piece, _, edge = word.partition(".")
    return EdgeRef(piece, edge, hand, role)


def straight(*sides: tuple[str, Fate | None, float, float]) -> tuple[Edge, ...]:
    """Straight edges counter-clockwise, each with its id, fate and the corner where it begins."""
    points = [Point(x, y) for _, _, x, y in sides]
    ends = [*points[1:], points[0]]
    return tuple(
        Edge(name, Corner(f"{name} corner"), Path.line(a, b), fate=fate)
        for (name, fate, _, _), a, b in zip(sides, points, ends, strict=True)
    )


def shaped(
    *edges: Edge, lines: tuple[InnerLine, ...] = (), darts: tuple[Dart, ...] = (), pleats: tuple[Pleat, ...] = ()
) -> Shape:
    """A shape with an upright grain and a notch on its second edge."""
    return Shape(edges, (Point(20, 20), Point(20, 80)), (Notch("n", edges[1].id, 20.0),), darts, pleats, lines)


def hollow(edge: Edge, by: float) -> Edge:
    """The same edge hollowed inwards, as a neck or an armhole is."""
    a, b = edge.path.start, edge.path.end
    inwards = (b - a).unit().left * by
    return replace(edge, path=Path((Cubic(a, a.towards(b, 0.3) + inwards, a.towards(b, 0.7) + inwards, b),)))


def turned(shape: Shape) -> Shape:
    """The mirror image, as the front of a right half is of a back drawn alike: both are seen from the face."""
    by = Affine.mirror()
    edges = [replace(edge, path=edge.path.transformed(by).reversed()) for edge in reversed(shape.edges)]
    lengths = {edge.id: edge.path.length for edge in edges}
    return replace(
        shape,
        edges=tuple(edges),
        grain=(by(shape.grain[0]), by(shape.grain[1])),
        notches=tuple(replace(one, at=lengths[one.edge] - one.at) for one in shape.notches),
        darts=tuple(replace(one, at=lengths[one.edge] - one.at, apex=by(one.apex)) for one in shape.darts),
        pleats=tuple(replace(one, at=lengths[one.edge] - one.at) for one in shape.pleats),
        lines=tuple(replace(one, path=one.path.transformed(by)) for one in shape.lines),
    )


def seams(
    name: str, a: str, b: str, *, kind: SeamKind = SeamKind.PLAIN, role: str = "shell", tail: str = "", **more: object
) -> tuple[Seam, ...]:
    """A seam on each side; ``a`` and ``b`` name edges with blanks between them."""
    return tuple(
        Seam(
            f"{name} {hand.value}{tail}",
            tuple(ref(word, hand, role) for word in a.split()),
            tuple(ref(word, hand, role) for word in b.split()),
            kind,
            **more,  # type: ignore[arg-type]
        )
        for hand in (RIGHT, LEFT)
    )


def skirt(*, flared: bool = False, gathered: bool = True) -> Garment:
    """A tube of two halves on the fold, gathered to a band, with hooks."""
    body = shaped(*straight(("hem", HEM, 0, 0), ("side", None, 400, 0), ("waist", None, 400, 600), ("fold", None, 0, 600)))
    if flared:
        out = Point(640, 180)
        hem = Path.curve(Point(0, 0), Point(260, 0), out - Point(420, 240) * 0.5, out)
        body = body.with_edge(replace(body.edge("hem"), path=hem))
        body = body.with_edge(replace(body.edge("side"), path=Path.line(out, Point(400, 600))))
    band = shaped(*straight(("ease", FACING, 0, 0), ("end", None, 420, 0), ("join", None, 420, 60), ("fold", None, 0, 60)))
    fold = (Cut("shell", How.FOLD),)
    pieces = {
        "front": Piece("front", "1", "Front", fold, sizes={"M": turned(body)}, fold="fold"),
        "back": Piece("back", "2", "Back", fold, sizes={"M": body}, fold="fold"),
        "band": Piece("band", "3", "Band", (*fold, Cut("interfacing", How.FOLD)), sizes={"M": band}, fold="fold"),
    }
    ring = tuple(
        ref(word, hand)
        for word, hand in (("front.waist", RIGHT), ("back.waist", RIGHT), ("back.waist", LEFT), ("front.waist", LEFT))
    )
    sewn = (
        Seam(
            "waist",
            ring,
            (ref("band.join", RIGHT), ref("band.join", LEFT)),
            SeamKind.GATHERED if gathered else SeamKind.PLAIN,
            ratio=1.9,
        ),
        *seams("side", "front.side", "back.side"),
    )
    closure = Closure("waist hook", ClosureKind.HOOKS, (ref("band.end", RIGHT), ref("band.end", LEFT)), 1)
    made = Pattern("skirt", "Skirt", ("M",), pieces, sewn, closures=(closure,))
    return make_garment(made, "M", id="skirt", roles={"shell": "linen", "interfacing": "fusible"}, sort="skirt")


def shirt(*, sleeves_flat: bool = False) -> Garment:
    """Front and back on the fold, sleeves pleated to cuffs, a bound neck; the sleeve is set in the round or flat."""
    body = _body()
    slit = Pleat("pleat", "wrist", 100, 15)
    arm = shaped(
        *straight(
            ("wrist", None, 0, 0),
            ("under front", None, 260, 0),
            ("cap front", None, 300, 400),
            ("cap back", None, 150, 480),
            ("under back", None, 0, 400),
        ),
        pleats=(slit,),
    )
    hole = InnerLine("hole", InnerLineKind.BUTTONHOLE, Path.line(Point(10, 20), Point(25, 20)))
    cuff = shaped(
        *straight(("lower", None, 0, 0), ("front end", None, 230, 0), ("join", None, 230, 60), ("back end", None, 0, 60)),
        lines=(hole,),
    )
    fold, pair = (Cut("shell", How.FOLD),), (Cut("shell"),)
    pieces = {
        "front": Piece("front", "1", "Front", fold, sizes={"M": turned(body)}, fold="fold"),
        "back": Piece("back", "2", "Back", fold, sizes={"M": body}, fold="fold"),
        "sleeve": Piece("sleeve", "3", "Sleeve", pair, sizes={"M": arm}),
        "cuff": Piece("cuff", "4", "Cuff", (Cut("shell", How.PAIR, 2), Cut("interfacing")), sizes={"M": cuff}),
    }
    outer = tuple(
        Seam(
            f"cuff edge {hand.value}",
            tuple(ref(f"cuff.{edge}", hand) for edge in ("front end", "lower", "back end")),
            tuple(replace(ref(f"cuff.{edge}", hand), copy=2) for edge in ("front end", "lower", "back end")),
        )
        for hand in (RIGHT, LEFT)
    )
    under = (
        seams("side and underarm", "front.side sleeve.under^front", "back.side sleeve.under^back")
        if sleeves_flat
        else (*seams("side", "front.side", "back.side"), *seams("underarm", "sleeve.under^front", "sleeve.under^back"))
    )
    # The order here is the wrong way round on purpose: it must not decide.
    sewn = (
        *seams("cuff", "sleeve.wrist", "cuff.join", kind=SeamKind.PLEATED),
        *outer,
        *under,
        *seams("sleeve", "sleeve.cap^front sleeve.cap^back", "front.armhole back.armhole"),
        *seams("shoulder", "back.shoulder", "front.shoulder"),
    )
    closures = tuple(
        Closure(f"cuff {hand.value}", ClosureKind.BUTTONS, (ref("cuff.front end", hand), ref("cuff.back end", hand)), 1)
        for hand in (RIGHT, LEFT)
    )
    made = Pattern(
        "shirt", "Shirt", ("M",), pieces, tuple(_spaced(seam) for seam in sewn), closures=closures,
        haberdashery=(Haberdashery("button", 2, size="11 mm", colour="horn"),),
    )  # fmt: skip
    return make_garment(made, "M", id="shirt", roles={"shell": "linen", "interfacing": "fusible"}, sort="shirt")


def jerkin() -> Garment:
    """Fronts in pairs with darts, back on the fold, lined, interfaced, laced; the lining has no seams of its own."""
    top = (
        hollow(Edge("armhole", Corner("c"), Path.line(Point(260, 350), Point(220, 560)), fate=BINDING), 30),
        Edge("shoulder", Corner("d"), Path.line(Point(220, 560), Point(80, 600)), allowance=12),
        hollow(Edge("neck", Corner("e"), Path.line(Point(80, 600), Point(0, 540)), fate=FACING), 20),
    )
    bottom = (
        Edge("hem", Corner("a"), Path.line(Point(0, 0), Point(260, 0)), fate=HEM),
        Edge("side", Corner("b"), Path.line(Point(260, 0), Point(260, 350))),
    )
    closing = Edge("centre", Corner("f"), Path.line(Point(0, 540), Point(0, 0)), fate=FACING)
    eyelets = tuple(
        InnerLine(f"eyelet {k}", InnerLineKind.EYELET, Path.arc(Point(15, 60.0 * k + 60), 2.5, 0, 6.28)) for k in range(6)
    )
    front = shaped(*bottom, *top, closing, lines=eyelets, darts=(Dart("dart", "side", 200, 20, Point(140, 220)),))
    back = shaped(*bottom, *top, replace(closing, fate=None))
    layers = (Cut("shell"), Cut("lining"), Cut("interfacing"))
    pieces = {
        "front": Piece("front", "1", "Front", layers, sizes={"M": turned(front)}),
        "back": Piece("back", "2", "Back", (Cut("shell", How.FOLD), Cut("lining", How.FOLD)), sizes={"M": back}, fold="centre"),
        "wing": Piece("wing", "3", "Wing", (Cut("shell"), Cut("lining")), rough={"M": Rough(100, 300)}),
    }
    sewn = (*seams("side", "front.side", "back.side"), *seams("shoulder", "back.shoulder", "front.shoulder"))
    lacing = Closure("lacing", ClosureKind.LACING, (ref("front.centre", RIGHT), ref("front.centre", LEFT)), 6)
    made = Pattern(
        "jerkin", "Jerkin", ("M",), pieces, sewn, closures=(lacing,),
        haberdashery=(Haberdashery("eyelet", 12, size="5 mm"), Haberdashery("cord", length=2000, size="4 mm")),
    )  # fmt: skip
    roles = {"shell": "melton", "lining": "twill", "interfacing": "fusible"}
    return make_garment(made, "M", id="jerkin", roles=roles, sort="jerkin")


def costume() -> dict[str, Garment]:
    """All three."""
    return {garment.id: garment for garment in (shirt(), jerkin(), skirt(flared=True))}


def _body() -> Shape:
    path = Path.line
    return shaped(
        Edge("hem", Corner("a"), path(Point(0, 0), Point(250, 0)), fate=HEM),
        Edge("side", Corner("b"), path(Point(250, 0), Point(250, 400))),
        hollow(Edge("armhole", Corner("c"), path(Point(250, 400), Point(220, 620))), 30),
        Edge("shoulder", Corner("d"), path(Point(220, 620), Point(80, 650))),
        hollow(Edge("neck", Corner("e"), path(Point(80, 650), Point(0, 600)), fate=BINDING), 20),
        Edge("fold", Corner("f"), path(Point(0, 600), Point(0, 0))),
    )


def _spaced(seam: Seam) -> Seam:
    """Edge ids with a blank, which the short form writes as ``^``."""
    a, b = (tuple(replace(one, edge=one.edge.replace("^", " ")) for one in side) for side in (seam.a, seam.b))
    return replace(seam, a=a, b=b)
