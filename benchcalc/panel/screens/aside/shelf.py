"""Jobs put aside: another one is begun or opened and none is lost; any is taken up again."""

from dataclasses import replace

from benchcalc.panel.state.model import Draft, Model, Row, ScreenName, Shelved, Work
from benchcalc.report.told import told

SHELF = 20
"""Jobs that are put aside at most: all of them are saved with every tap."""


def emptied(draft: Draft) -> Draft:
    """No job yet; bender, tube and lot stay on the bench."""
    return replace(
        Draft(rows=(Row(unit=draft.units),)),
        bender=draft.bender,
        material=draft.material,
        od_mm=draft.od_mm,
        wall_mm=draft.wall_mm,
        lot=draft.lot,
        units=draft.units,
        tape=draft.tape,
    )


def has_job(work: Work) -> bool:
    """Whether the work in hand is more than what lies on the bench."""
    return work.making is not None or work.draft != emptied(work.draft)


def put_aside(model: Model) -> Model:
    """The job in hand goes to those that wait; the bench stays as it is, without a job."""
    return shelve(model, Work(draft=emptied(model.draft)))


def shelve(model: Model, fresh: Work) -> Model:
    """Put the work in hand aside, if there is any, and go on with other work.

    Of a run whose pieces are all stored only the run is put aside, not its last piece. Where as
    many wait as can, all stays as it is and the reason is told.
    """
    shelf = model.work.shelf
    making = None if model.work.screen == "kept" else model.work.making
    if has_job(model.work) and (making is not None or model.draft != fresh.draft):
        if len(shelf) >= SHELF:
            return replace(model, refusal=told("jobs.full", count=SHELF))
        shelf = (*shelf, Shelved(model.draft, making, model.work.undo, model.today))
    fresh = replace(fresh, shelf=shelf, trials=model.work.trials, aims=model.work.aims)
    return replace(model, work=fresh, refusal=None, bench_at=0, face="keys")


def take_up(model: Model, at: int) -> Model:
    """Go on with the job at this place; the one in hand waits in its stead."""
    shelf = model.work.shelf
    taken = shelf[at]
    screen: ScreenName = "make" if taken.making else "plan"
    fresh = Work(screen, taken.draft, making=taken.making, undo=taken.undo)
    others = (*shelf[:at], *shelf[at + 1 :])
    return shelve(replace(model, work=replace(model.work, shelf=others)), fresh)


def thrown_away(model: Model, at: int) -> Model:
    """The job at this place is gone for good; one with a bend made is scrapped, not lost."""
    shelf = model.work.shelf
    if (making := shelf[at].making) is not None and making.made:
        return replace(model, refusal=told("jobs.half-bent"), asking="")
    left = (*shelf[:at], *shelf[at + 1 :])
    return replace(model.with_work(shelf=left, screen="jobs" if left else "bench"), jobs_at=0)
