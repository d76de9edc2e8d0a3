"""The SVG sink: one drawing, in millimetres, as a file of its own or to put into a page."""

from __future__ import annotations

import math
from hashlib import sha256
from xml.sax.saxutils import escape, quoteattr

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Line, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, WordKind
from firsthand.sheets._lettering import clean, width
from firsthand.sheets.look import LINES, WORDS
from firsthand.sheets.sinks._mapped import MappedSink

__all__ = ["SvgSink", "style_sheet"]

ON_SCREEN = 4.8
"""Pixels for a millimetre of a drawing in a page, at most: the smallest lettering is then about 12 pixels high."""
_ANCHORS = {Anchor.START: "start", Anchor.MIDDLE: "middle", Anchor.END: "end"}


def style_sheet() -> str:
    """CSS for all kinds of lines and words.

    Colours are custom properties with the paper's colours as fallback, so that a page can set its own for the dark.
    """
    rules = [".fh{font-family:'Fira Sans',system-ui,sans-serif}"]
    for line, look in LINES.items():
        fill = f"var(--fh-{line.value}-fill,{look.fill})" if look.fill else "none"
        dash = f";stroke-dasharray:{' '.join(_n(bit) for bit in look.dash)}" if look.dash else ""
        cap = ";stroke-linecap:round" if look.round else ""
        rules.append(
            f".fh-{line.value}{{stroke:var(--fh-{line.value},{look.colour});stroke-width:{_n(look.width)};fill:{fill}"
            f";stroke-linejoin:round{dash}{cap}}}"
        )
    for word, face in WORDS.items():
        weight = ";font-weight:600" if face.bold else ""
        rules.append(f".fh-{word.value}{{font-size:{_n(face.size)}px;fill:var(--fh-ink,{face.colour}){weight}}}")
    return "\n".join(rules)


class SvgSink(MappedSink):
    """Draws one SVG.

    Parameters
    ----------
    wide, high
        Size of the drawing, mm.
    title
        What it shows, for those who cannot see it.
    inline
        Whether it goes into a page that has the styles already.

    Examples
    --------
    >>> sink = SvgSink(20, 10, "a line", inline=True)
    >>> sink.path(Path.line(Point(0, 0), Point(20, 10)), LineKind.FOLD)
    >>> '<path class="fh-fold" d="M0 10L20 0"/>' in sink.text
    True
    """

    def __init__(self, wide: float, high: float, title: str, *, inline: bool = False) -> None:
        if not (0 < wide < math.inf and 0 < high < math.inf):
            raise GeometryError(f"a drawing needs a width and a height, not {wide} and {high}")
        super().__init__(Affine(d=-1.0, f=high))
        self._size, self._title, self._inline = (wide, high), clean(title), inline
        self._body: list[str] = []
        self._holes = 0

    @property
    def text(self) -> str:
        """The whole SVG."""
        w, h = (_n(side) for side in self._size)
        size = f' width="{_n(self._size[0] * ON_SCREEN)}"' if self._inline else f' width="{w}mm" height="{h}mm"'
        style = "" if self._inline else f"<style>{style_sheet()}</style>\n"
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="fh" role="img"{size} viewBox="0 0 {w} {h}">\n'
            f"<title>{escape(self._title)}</title>\n{style}" + "\n".join(self._body) + "\n</svg>\n"
        )

    def _stroke(self, path: Path, kind: LineKind) -> None:
        self._body.append(f'<path class="fh-{kind.value}" d="{_data(path)}"/>')

    def _letter(self, text: str, at: Point, kind: WordKind, anchor: Anchor, angle: float) -> None:
        turn = f' transform="rotate({_n(math.degrees(angle))} {_n(at.x)} {_n(at.y)})"' if abs(angle) > 1e-9 else ""
        side = "" if anchor is Anchor.START else f' text-anchor="{_ANCHORS[anchor]}"'
        # where our font is not installed another one is squeezed to the same width, so that nothing runs over a line
        fit = f' textLength="{_n(width(text, kind))}" lengthAdjust="spacingAndGlyphs"' if len(text) > 1 else ""
        place = f'x="{_n(at.x)}" y="{_n(at.y)}"'
        self._body.append(f'<text class="fh-{kind.value}" {place}{side}{turn}{fit}>{escape(text)}</text>')

    def _enter(self, name: str, clip: Path | None) -> None:
        label = f" aria-label={quoteattr(clean(name))}" if name else ""
        hole = ""
        if clip is not None:
            # a clip path needs an id, and several drawings may stand in one page: title and outline tell them apart
            self._holes += 1
            key = f"clip{self._holes}-{sha256((self._title + _data(clip)).encode()).hexdigest()[:8]}"
            self._body.append(f'<clipPath id="{key}"><path d="{_data(clip)}"/></clipPath>')
            hole = f' clip-path="url(#{key})"'
        self._body.append(f"<g{label}{hole}>")

    def _leave(self, clipped: bool) -> None:
        self._body.append("</g>")


def _data(path: Path) -> str:
    words = [f"M{_p(path.start)}"]
    for s in path:
        words.append(f"L{_p(s.b)}" if isinstance(s, Line) else f"C{_p(s.b)} {_p(s.c)} {_p(s.d)}")
    return "".join(words) + ("Z" if path.is_closed else "")


def _p(point: Point) -> str:
    return f"{_n(point.x)} {_n(point.y)}"


def _n(value: float) -> str:
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
