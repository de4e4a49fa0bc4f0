"""A file checked by the record beside it, where there is no slip: coupons, sheets, passes.

With a plan beside it a file is compared line by line; without one it is what was made, or not.
"""

from pathlib import Path

from cutfiles.disk.refusals import read
from cutfiles.disk.system import sum_of
from cutfiles.errors import FileError
from cutfiles.files.pairs import Difference
from cutfiles.files.passes import verify_pass
from cutfiles.files.readers.limits import MOST_BYTES
from cutfiles.files.record import Recorded, recorded
from cutfiles.files.verify import compare
from cutfiles.film.lay import lay_coupon
from cutfiles.job.recheck import format_of, naming
from cutfiles.machine.endings import PASS, PLAN
from cutfiles.machine.options import Options, drawing_options
from cutfiles.machine.passes import CutPlan
from cutfiles.machine.plan_data import plan_from
from cutfiles.pattern.coupons import coupon_of
from cutfiles.support.trials import COUPONS
from cutfiles.units import read_length


def verify_recorded(path: str | Path) -> tuple[Difference, ...]:
    """Return how a file differs from what its record says was made; nothing where it does not.

    Args:
        path: of the file; its record, and its plan if it has one, lie beside it.

    Raises:
        FileError: no record knows it, it was never compared, or the plan beside it was changed.

    """
    file = Path(path)
    data, found = read(file, "a cut file that can be read", MOST_BYTES), recorded(file)
    if found is None:
        raise FileError(
            "a file without a record, and no slip",
            "it is compared with its slip, or with what the record beside it says was made",
            "name its slip too, or the folder it was made in",
            file.name,
            "verify-slip",
        )
    if found.entry.get("verified") is not True:
        raise FileError(
            "a file that is none to cut",
            "cut files are compared: others have nothing to be compared with",
            "name a cut file",
            file.name,
        )
    stem, plan = _plan_beside(file, found)
    if plan is not None and PASS in file.name.removeprefix(stem):
        with naming(file.name):
            return verify_pass(plan, file.name, data, stem)
    if sum_of(data) == found.entry["sha256"]:
        return ()
    with naming(file.name):
        form = format_of(data, file.name)
        facts = form.read(data).facts
        name = next((one for one in COUPONS if one == facts.get("coupon")), None)
        options = Options() if plan is None else drawing_options(plan.cutter)
        if form.folded or (plan is None and name is None):
            return (_changed(),)
        if name is not None:
            gauge = read_length(facts.get("gauge", "").partition(" (")[0])
            told = compare(lay_coupon(coupon_of(name, gauge)), data, form, options)
        else:
            assert plan is not None
            told = compare(plan.drawing, data, form, options)
    return told or (_changed(),)


def _changed() -> Difference:
    return Difference("", "whole file", "not the bytes that were made and compared")


def _plan_beside(file: Path, found: Recorded) -> tuple[str, CutPlan | None]:
    """Return the plan that a file is of, and what its name begins with; none where it has none."""
    stems = {
        entry["path"].removesuffix(PLAN): entry["sha256"]
        for entry in found.values["files"]
        if entry["path"].endswith(PLAN)
    }
    stem = max((s for s in stems if file.name.startswith(f"{s}.")), key=len, default=None)
    if stem is None:
        return "", None
    path = file.with_name(stem + PLAN)
    data = read(path, "the plan that lies beside it")
    if sum_of(data) != stems[stem]:
        raise FileError(
            "a plan that was changed since it was made",
            "a pass is compared with its plan",
            "make both again for this cutter",
            path.name,
            "make-passes",
        )
    return stem, plan_from(data, path.name)
