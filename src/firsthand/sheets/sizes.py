"""The sheet of sizes: which size of each pattern fits, by what, and what is then altered; the dress form, if there is one."""

from __future__ import annotations

from firsthand.geometry.drawing import WordKind
from firsthand.sheets._fit_sizes import form_section, section
from firsthand.sheets._flow import Flow, list_paper
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile

__all__ = ["sizes_sheet"]

HOW = (
    "The size is chosen by the finished girth where a garment is hardest to alter, by the printed chart where no outline is "
    "there. Ease is the finished girth less the body’s, with what is worn beneath. Fits: the size with the ease aimed at."
)


@SHEETS[Scope.COSTUME].register("sizes")
def sizes_sheet(results: Results) -> tuple[SheetFile, ...]:
    """One sheet for the costume."""
    if not results.sizes and results.form is None:
        return ()
    units = results.settings.units
    flow = Flow(list_paper(results), "Sizes", f"{results.costume}{f', for {results.wearer}' if results.wearer else ''}.")
    if results.sizes:
        flow.paragraph(HOW, WordKind.SMALL)
    for name, choice in results.sizes.items():
        fit = results.fits.get(name)
        garment = fit.garment if fit else None
        section(flow, choice, units, name=(garment.name or name) if garment else name, now=garment.size if garment else "")
    if results.form is not None:
        form_section(flow, results.form, units)
    return (flow.file("sizes.pdf", "sizes", results),)
