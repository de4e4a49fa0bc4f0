"""Two faces of a cutter with hems, lips and posts: every line once, and each pass read back."""

import pytest
import tilted
from benches import cutter
from close import assert_same_paths
from test_plan import unturned

from cutfiles.draft import draft_of
from cutfiles.files.fold_check import check_reading
from cutfiles.files.formats import FORMATS, write_drawing
from cutfiles.files.passes import verify_pass, write_plan
from cutfiles.machine.options import Options
from cutfiles.machine.plan import plan
from cutfiles.pattern.pattern import Role

CASES = [("LEVEL", "lips"), ("RISER", "posts"), ("LAPPED", "plain")]


@pytest.mark.parametrize(("number", "way"), CASES)
def test_every_line_of_strip_and_posts_is_worked_once(number, way):
    draft = draft_of(tilted.slip_of(number, support={"construction": way, "edges": "folded"}))
    machine, sheet = cutter(formats=["svg"], score={"method": "impress"}), draft.drawing
    made = plan(sheet, machine)
    assert {one.face for one in made.passes} == {"book", "table"}
    worked = [s for one in made.passes for s in unturned(one, sheet, machine)]
    for role in Role:
        if role is not Role.GUIDE:
            assert_same_paths(
                [s.path for s in worked if s.role is role],
                [s.path for s in made.drawing.of_role(role)],
            )
    # strip and posts are cut: one outline each
    assert len([s for s in worked if s.role is Role.OUTLINE]) == 1 + len(draft.pattern.posts)
    files = [file for file in write_plan(made) if file.format == "svg"]
    assert len(files) == 2
    for file in files:
        assert verify_pass(made, file.name, file.data) == ()
    form = FORMATS["svg"]
    check = check_reading(
        form.read(write_drawing(made.drawing, form, Options())), "x.svg", draft, form, Options()
    ).check
    assert [one.message for one in check.findings if one.severity == "stop"] == []
    assert len(check.posts) == len(draft.pattern.posts)
