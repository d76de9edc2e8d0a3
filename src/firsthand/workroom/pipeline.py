"""The one straight line from a workroom to what is printed.

::

    workroom -> checked costume -> drafted and fitted parts -> steps -> lays -> buy list -> plan -> sheets

Each method of :class:`Pipeline` asks for one stage and thereby for those before it; what was made before is answered from the
workroom's cache. A stage is put only what it needs, so that what it does not need cannot make it run again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from firsthand.body import Body, Need, believed, needed_for, needed_measurements, stand_in
from firsthand.buy import BuyList
from firsthand.fabric import Fabric
from firsthand.findings import Finding, Severity, kind
from firsthand.fit import FitResult, layers_beneath, worn_beneath
from firsthand.fit.cloth import Cloth
from firsthand.fit.fitting import Fitting
from firsthand.fit.sizing import FormFit, SizeChoice
from firsthand.fit.solving import others_need
from firsthand.fit.wearing import wearing_needs
from firsthand.lay import FabricLays
from firsthand.pattern import Garment, Pattern, make_garment
from firsthand.plan import Plan
from firsthand.sheets import SheetFile
from firsthand.steps import Step
from firsthand.workroom import stages
from firsthand.workroom._cache import Cache, Kept, Ran, Stage
from firsthand.workroom.model import Costume, GarmentBrief, Workroom

CACHE_UNUSABLE = kind(
    "cache-unusable",
    Severity.NOTE,
    "What the stages made could not be kept in the workroom's .cache, so everything will run again the next time. Make room,"
    " or let the folder be written to; .cache may be deleted any time.",
)

__all__ = ["Effort", "Pipeline", "Progress"]

Progress = Callable[[str, str, bool], None]
"""Told before each stage: its name, what it is about, and whether it has to run."""


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to look for a short lay: seconds for each fabric and way, seed, processes."""

    seconds: float = 3.0
    seed: int = 1
    workers: int = 2


@dataclass
class Pipeline:
    """The stages of one costume.

    Parameters
    ----------
    workroom, costume
        What to work on.
    only
        Ids of the garments wanted; empty for all.
    effort
        How long to look for lays.
    progress
        Told what is being done.

    Raises
    ------
    NotThere
        If ``only`` names a garment that is not in the costume.
    """

    workroom: Workroom
    costume: Costume
    only: tuple[str, ...] = ()
    effort: Effort = field(default_factory=Effort)
    progress: Progress = lambda stage, about, runs: None

    def __post_init__(self) -> None:
        for name in self.only:
            self.costume.garment(name)
        self._cache = Cache(self.workroom.folder / ".cache")

    @property
    def log(self) -> tuple[Ran, ...]:
        """What was asked for so far, and what of it had to run."""
        return tuple(self._cache.log)

    @property
    def briefs(self) -> tuple[GarmentBrief, ...]:
        """Of the garments wanted, in the costume's order."""
        return tuple(brief for brief in self.costume.garments if not self.only or brief.id in self.only)

    @property
    def out(self) -> Path:
        """Where results go: the costume's ``out/``, or a folder in it for the garments wanted alone."""
        folder = self.costume.folder / "out"
        return folder / f"only {' '.join(self.only)}" if self.only else folder

    # the stages ---------------------------------------------------------------------------------------------

    @cached_property
    def body_findings(self) -> Kept[tuple[Finding, ...]]:
        """What can be said of the measurements alone."""
        levels = [level for brief in self.briefs for level in self._pattern(brief).levels]
        return self._call(stages.BODY, self._wearer.name, self._wearer, needed_measurements(levels))

    @cached_property
    def absurd(self) -> tuple[Finding, ...]:
        """Measurements of the wearer that nobody can have: nothing is reckoned from them."""
        return believed(self._wearer)[1]

    @cached_property
    def needs(self) -> dict[str, tuple[Need, ...]]:
        """The measurements that each garment asks for, with the reasons."""
        return {brief.id: needed_for(self._garments[brief.id], brief.alterations) for brief in self.briefs}

    @cached_property
    def fits(self) -> dict[str, Kept[FitResult]]:
        """Each garment, altered and with its drafted pieces, and its ease."""
        return {brief.id: self._fit_of(brief) for brief in self.briefs}

    @cached_property
    def sizes(self) -> dict[str, Kept[SizeChoice]]:
        """The size that each pattern would have for the wearer."""
        return {brief.id: self._size(brief) for brief in self.briefs}

    @cached_property
    def form(self) -> Kept[FormFit] | None:
        """The costume's dress form beside the wearer; None if it has none."""
        if not self.costume.form:
            return None
        return self._call(stages.FORM, self.costume.form, believed(self.workroom.wearers[self.costume.form])[0], self._believed)

    @cached_property
    def checks(self) -> dict[str, Kept[tuple[Finding, ...]]]:
        """What was noticed about each garment."""
        return {
            brief.id: self._call(stages.CHECK, brief.id, self.fits[brief.id], self._pattern(brief), self._fabrics_of((brief,)))
            for brief in self.briefs
        }

    @cached_property
    def steps(self) -> Kept[tuple[Step, ...]]:
        """All the work."""
        return self._call(stages.STEPS, self.costume.id, self.fits, self._fabrics_of(self.briefs), self.workroom.machines)

    @cached_property
    def lays(self) -> dict[str, Kept[FabricLays]]:
        """The lays of each fabric."""
        return {name: self._lay(fabric) for name, fabric in self._fabrics_of(self.briefs).items()}

    @cached_property
    def buy(self) -> Kept[BuyList]:
        """What to buy."""
        fabrics, work = self._fabrics_of(self.briefs), self.workroom
        return self._call(
            stages.BUY, self.costume.id, self.fits, fabrics, self.lays, self.steps, work.shelf,
            work.settings.currency, self.costume.budget,
        )  # fmt: skip

    @cached_property
    def plan(self) -> Kept[Plan]:
        """The order of work."""
        costume = self.costume
        order = tuple(brief.id for brief in costume.garments)
        return self._call(stages.PLAN, costume.id, self.steps, self.workroom.machines, costume.sessions, costume.due, order)

    @cached_property
    def sheets(self) -> dict[str, Kept[tuple[SheetFile, ...]]]:
        """Everything printed: of each ``garment ID``, of the whole ``costume``, and the ``index`` to look at."""
        made = {f"garment {brief.id}": self._garment_sheets(brief) for brief in self.briefs}
        found = (self.workroom.findings, self.body_findings, *self.checks.values())
        everything = (
            self.costume.name, self._wearer.name, self.workroom.settings, self.costume.due, self.fits,
            self._fabrics_of(self.briefs), self.lays, self.buy, self.plan, found, self.sizes, self.form,
            self._wearer, self.needs,
        )  # fmt: skip
        made["costume"] = self._call(stages.COSTUME_SHEETS, self.costume.id, *everything)
        made["index"] = self._call(stages.INDEX, self.costume.id, made.copy(), *everything)
        return made

    def findings(self, *, upto: str = "plan") -> tuple[Finding, ...]:
        """What was noticed up to a stage: ``check``, ``lay``, ``buy``, ``plan`` or ``sheets``."""
        found = [*self.workroom.findings, *self.body_findings.value]
        found += [finding for kept in self.checks.values() for finding in kept.value]
        reached = ("check", "lay", "buy", "plan", "sheets").index(upto)
        if reached >= 1:
            found += [finding for kept in self.lays.values() for finding in kept.value.findings]
        if reached >= 2:
            found += self.buy.value.findings
        if reached >= 3:
            found += self.plan.value.findings
        if reached >= 4:
            found += [finding for kept in self.sheets.values() for file in kept.value for finding in file.findings]
        if self._cache.trouble:
            found.append(CACHE_UNUSABLE(f"nothing could be kept in .cache: {self._cache.trouble}", where=(".cache",)))
        return tuple(dict.fromkeys(found))

    # what a stage is put ------------------------------------------------------------------------------------

    def _call(self, stage: Stage[stages.T], about: str, *arguments: object) -> Kept[stages.T]:
        self.progress(stage.name, about, not self._cache.known(stage, *arguments))
        return self._cache.call(stage, about, *arguments)

    @property
    def _wearer(self) -> Body:
        return self.workroom.wearers[self.costume.wearer]

    @cached_property
    def _believed(self) -> Body:
        return believed(self._wearer)[0]

    def _pattern(self, brief: GarmentBrief) -> Pattern:
        return self.workroom.patterns[brief.pattern]

    def _fabrics_of(self, briefs: tuple[GarmentBrief, ...]) -> dict[str, Fabric]:
        bound = dict.fromkeys(name for brief in briefs for name in brief.roles.values())
        return {name: self.workroom.fabrics[name] for name in bound if name in self.workroom.fabrics}

    @cached_property
    def _garments(self) -> dict[str, Garment]:
        return {brief.id: self._start(brief) for brief in self.costume.garments}

    def bought(self, garment: str) -> Garment:
        """A garment as it is before anything is altered."""
        return self._garments[garment]

    def _start(self, brief: GarmentBrief) -> Garment:
        return make_garment(
            self._pattern(brief), brief.size, id=brief.id, name=brief.name, roles=brief.roles, cut=brief.cut,
            sort=brief.sort, over=brief.over, wanted=brief.wanted,
        )  # fmt: skip

    @cached_property
    def _fitted(self) -> dict[str, Kept[FitResult]]:
        return {}

    def _fit_of(self, brief: GarmentBrief) -> Kept[FitResult]:
        if brief.id not in self._fitted:
            self._fitted[brief.id] = self._fit(brief)
        return self._fitted[brief.id]

    def _fit(self, brief: GarmentBrief) -> Kept[FitResult]:
        fabrics, garment = self.workroom.fabrics, self._garments[brief.id]
        under = [self.costume.garment(name) for name in brief.over if name in self._garments and name != brief.id]
        worn = self._garments | {one.id: self._fit_of(one).value.garment for one in under}
        return self._call(
            stages.FIT, brief.id, garment, _known(self._believed, garment), brief.alterations, brief.drafts, brief.take_in,
            fabrics.get(brief.roles.get("shell", "")), worn_beneath(brief.id, self._garments, fabrics), self._cloth(brief),
            layers_beneath(brief.id, worn, fabrics), self._fittings_of(brief), brief.states,
        )  # fmt: skip

    def _fittings_of(self, brief: GarmentBrief) -> tuple[Fitting, ...]:
        # Only what they tell of this garment: a word about another one changes nothing here.
        return tuple(
            replace(fitting, points=fitting.of(brief.id), in_pattern=tuple({brief.id} & {*fitting.in_pattern}))
            for fitting in self.costume.fittings
            if brief.id in fitting.garments
        )

    def _cloth(self, brief: GarmentBrief) -> Cloth:
        fabrics, pattern = self.workroom.fabrics, self._pattern(brief)
        bound = {role: fabrics[name] for role, name in brief.roles.items() if name in fabrics}
        return Cloth(bound.get("shell"), pattern.expects_stretch, pattern.expects_thickness, brief.stretch_share, bound)

    def _size(self, brief: GarmentBrief) -> Kept[SizeChoice]:
        fabrics, pattern = self.workroom.fabrics, self._pattern(brief)
        asked = {level.body for level in pattern.levels} | {key for row in pattern.chart.values() for key in row}
        return self._call(
            stages.SIZE, brief.id, pattern, _with_only(self._believed, asked | {"upper_chest_girth"}), brief.sort, brief.cut,
            fabrics.get(brief.roles.get("shell", "")), worn_beneath(brief.id, self._garments, fabrics), brief.wanted,
        )  # fmt: skip

    def _lay(self, fabric: Fabric) -> Kept[FabricLays]:
        cut = self._call(stages.CUT, fabric.id, self.fits, fabric.id)
        priceless = replace(fabric, price=0.0)
        effort = self.effort
        return self._call(stages.LAY, fabric.id, cut, priceless, effort.seconds, effort.seed, effort.workers)

    def _garment_sheets(self, brief: GarmentBrief) -> Kept[tuple[SheetFile, ...]]:
        return self._call(
            stages.GARMENT_SHEETS, brief.id, self.costume.name, self._wearer.name, self.workroom.settings,
            brief.due or self.costume.due, self.fits[brief.id], self._fabrics_of((brief,)), self.checks[brief.id],
        )  # fmt: skip


def _known(body: Body, garment: Garment) -> Body:
    # With those measurements only that the garment's levels, openings and shape ask for: a change of another changes nothing
    # here.
    asked = {*wearing_needs(garment), *others_need(garment)}
    return _with_only(body, {level.body for level in garment.levels} | asked)


def _with_only(body: Body, asked: set[str]) -> Body:
    wanted = asked | {stand_in(key) for key in asked}
    kept = {key: value for key, value in body.measurements.items() if key in wanted}
    return replace(body, measurements=kept, date="", over="")
