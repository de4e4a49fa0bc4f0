"""Edits kept and done again: same bytes, same distances, and never what breaks the support."""

import io
import os
import re
import sys
import tomllib
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner
from conftest import ROOT, SHORT_WORK

from cutfiles.bench.slip import slip_from
from cutfiles.cli import cli
from cutfiles.draft import draft_of
from cutfiles.edits.find import edits_in
from cutfiles.edits.keep import edits_from, kept_of, origin, read_edits, write_edits
from cutfiles.edits.opening import open_drawing
from cutfiles.edits.replay import placed_anew
from cutfiles.edits.told import numbered
from cutfiles.errors import DesignError, DifferenceError, FileError, SlipError
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.files.readers.dxf import read_dxf
from cutfiles.files.readers.svg import read_svg
from cutfiles.files.writers.dxf import layer_name
from cutfiles.job.edits import edited, keep, kept_beside, some_of
from cutfiles.job.make import make
from cutfiles.job.order import Order, drafted
from cutfiles.job.recheck import fold_data, verify_data
from cutfiles.machine import tour
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import box_of
from cutfiles.report.pictures.edits import edits_picture

sys.path.insert(0, str(ROOT / "tests" / "bench"))
from save_edits import (
    BASE,
    DRAFT,
    INK,
    LEG,
    SVG,
    at,
    drawn_with,
    dxf_bytes,
    dxf_document,
    notch,
    shape,
    tree,
    written,
)
from save_edits import layer as at_layer

SAVED = ROOT / "tests" / "edits"
VALUES = tomllib.loads((SAVED / "E7.toml").read_text(encoding="utf-8"))
SLIP = slip_from(VALUES, "E7.toml")


@pytest.fixture(scope="module")
def several():
    """A drawing with a label moved, a slot and a notch, as a person accepts it."""
    return edited(drawn_with("label_moved", "slot", "notch"), "several.svg", SLIP)


@pytest.fixture(scope="module")
def order(several):
    kept = several.kept
    return Order(edits={"E7": edits_from(tomllib.loads(write_edits(kept)), "E7.edits.toml")})


@pytest.fixture(scope="module")
def made(order):
    formats = ("svg", "dxf-r12", "pdf", "hpgl")
    return make(SLIP, order, formats=formats, paper=None)


def test_kept_as_text_and_read_again(several):
    text = write_edits(several.kept)
    again = edits_from(tomllib.loads(text), "E7.edits.toml")
    assert again.edits == several.kept.edits
    assert write_edits(again) == text
    assert len(text) < 2_500


def test_made_again_verifies_in_every_format_and_folds(made, order):
    for file in made.files:
        if file.format in FORMATS:
            assert verify_data(file.data, file.name, SLIP, order) == ()
    (svg,) = [file for file in made.files if file.format == "svg"]
    assert fold_data(svg.data, svg.name, SLIP, order).check.folds
    assert verify_data(svg.data, svg.name, SLIP) != ()  # without its edits it differs


def test_the_same_slip_gives_the_same_bytes(made, order):
    again = write_drawing(drafted(SLIP, order).drawing, FORMATS["svg"], Options())
    (first,) = [file for file in made.files if file.format == "svg"]
    assert again == first.data


def test_what_was_made_is_read_as_accepted(made, order):
    """The round: a file made with edits, edited no further, holds just the accepted ones."""
    for key in ("svg", "dxf-r12"):
        (file,) = [one for one in made.files if one.format == key]
        found = edited(file.data, file.name, SLIP, order)
        changed = [edit for edit in found.found.edits if edit.changes]
        assert [edit.kind for edit in changed] == ["hole added", "notch", "label moved"] or {
            edit.kind for edit in changed
        } == {"hole added", "notch", "label moved"}
        assert all(edit.accepted for edit in changed), changed
        assert found.settled
        assert found.gone == ()


@pytest.mark.parametrize(("field", "by"), [("width", 5), ("height", 5), ("spine_width", 5)])
def test_on_a_changed_slip_each_keeps_its_distance_to_its_crease(field, by, several, order):
    slip = slip_from({**VALUES, field: VALUES[field] + by}, "E7.toml")
    draft = drafted(slip, Order())
    kept = order.edits["E7"]
    were = [edit for edit in several.found.edits if edit.changes]
    for one, edit, before in zip(kept.edits, placed_anew(draft, kept), were, strict=True):
        was = origin(several.draft.pattern, one.anchor)
        now = origin(draft.pattern, one.anchor)
        assert edit.at.x - now.x == pytest.approx(before.at.x - was.x, abs=0.01)
        assert edit.at.y - now.y == pytest.approx(before.at.y - was.y, abs=0.01)
        assert edit.state != "breaks the support"
    again = drafted(slip, order)
    assert len(again.pattern.of_role(Role.HOLES)) == 1


def test_what_no_longer_fits_is_named_and_nothing_made(order):
    slip = slip_from({**VALUES, "width": 60}, "E7.toml")
    with pytest.raises(DesignError, match=r"edits that no longer fit: .* on the left base"):
        make(slip, order, formats=("svg",), paper=None)


def test_what_breaks_the_support_is_never_kept(tmp_path):
    file = edited(drawn_with("leg_gone"), "leg_gone.svg", SLIP)
    assert not file.settled
    with pytest.raises(DifferenceError, match="never accepted"):
        keep(file, tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_where_nothing_is_to_be_kept_no_file_is_written(tmp_path, run):
    slip, drawing = tmp_path / "E7.toml", tmp_path / "edited.svg"
    slip.write_text((SAVED / "E7.toml").read_text())
    words = ("edits", drawing, "--slip", slip, "--accept")
    run("make", slip, "--format", "svg", "--no-sheet", "--to", tmp_path)
    drawing.write_bytes((tmp_path / "E7.svg").read_bytes())
    assert "kept     nothing: no edit changes what is made\n" in run(*words)
    assert not (tmp_path / "E7.edits.toml").exists()
    drawing.write_bytes(drawn_with("hole_round"))
    assert "E7.edits.toml" in run(*words)
    drawing.write_bytes(drawn_with("plain"))
    assert "what was accepted before is taken back" in run(*words)
    assert kept_beside(tmp_path, "E7")["E7"].edits == ()


def test_make_writes_over_a_drawing_accepted_with_colours_alone(tmp_path, run):
    slip, drawing = tmp_path / "E7.toml", tmp_path / "E7.svg"
    slip.write_text((SAVED / "E7.toml").read_text())
    made = ("make", slip, "--format", "svg", "--no-sheet", "--to", tmp_path)
    run(*made)
    first = drawing.read_bytes()
    drawing.write_bytes(drawn_with("colours"))
    assert "make may write over this drawing" in run("edits", drawing, "--slip", slip, "--accept")
    run(*made)
    assert drawing.read_bytes() == first
    drawing.write_bytes(drawn_with("crease_moved"))  # nobody accepted this one
    refused = CliRunner().invoke(cli, [str(word) for word in made])
    assert refused.exit_code != 0
    assert drawing.read_bytes() != first


def test_a_block_deleted_is_an_edit_taken_back(several, order):
    text = write_edits(several.kept)
    blocks = text.split("\n\n[[edit]]")
    fewer = edits_from(tomllib.loads("\n\n[[edit]]".join([blocks[0], *blocks[2:]])), "E7")
    assert len(fewer.edits) == len(several.kept.edits) - 1
    whole = drafted(SLIP, order).drawing.strokes
    less = drafted(SLIP, Order(edits={"E7": fewer})).drawing.strokes
    assert whole != less


def test_without_edits_nothing_changes():
    assert drafted(SLIP, Order()) == drafted(SLIP, Order(edits={"other": None}))


@pytest.mark.parametrize(
    ("block", "said"),
    [
        (
            {"kind": "hole added", "crease": "left foot", "role": "cut-holes", "lines": ["1,2"]},
            "a line is places",
        ),
        (
            {
                "kind": "hole added",
                "crease": "left foot",
                "role": "cut-holes",
                "lines": ["circle 1,2 0"],
            },
            "a line is places",
        ),
        ({"kind": "hole added"}, "crease is needed"),
        ({"kind": "hole added", "crease": "left foot", "role": "cut-hole"}, "role"),
        ({"kind": "hole added", "crease": "left foot", "holes": 1}, "no such field"),
    ],
)
def test_a_file_of_edits_with_faults_is_refused(block, said):
    with pytest.raises((FileError, SlipError), match=said):
        edits_from({"number": "E7", "edit": [block]}, "E7.edits.toml")


def test_command_tells_keeps_and_makes(tmp_path):
    slip = tmp_path / "E7.toml"
    slip.write_text((SAVED / "E7.toml").read_text())
    drawing = tmp_path / "edited.svg"
    drawing.write_bytes(drawn_with("hole_round"))

    def run(*words):
        return CliRunner().invoke(cli, [str(word) for word in words])

    told = run("edits", drawing, "--slip", slip)
    assert told.exit_code == 0, told.output
    assert "hole added (round hole of 10.0 mm), on the right base" in told.output
    assert (tmp_path / "edited.svg.edits.svg").exists()
    assert run("edits", drawing, "--slip", slip, "--accept").exit_code == 0
    assert kept_beside(tmp_path, "E7")["E7"] == read_edits(
        tmp_path / "E7.edits.toml", "E7.edits.toml"
    )
    out = tmp_path / "out"
    assert run("make", slip, "--to", out, "--format", "svg", "--no-cards").exit_code == 0
    assert run("verify", out / "E7.svg", "--slip", slip).output.startswith("E7.svg: verified")
    again = run("edits", out / "E7.svg", "--slip", slip, "--check", "--json")
    assert '"accepted": true' in again.output
    drawing.write_bytes(drawn_with("crease_moved"))
    broken = run("edits", drawing, "--slip", slip, "--check")
    assert broken.exit_code == 1
    assert "crease moved (left apex, middle) by 2.0, 0.0 mm" in broken.output


def drawing_with(layer, d, first=""):
    """Return the drawing with one more path on a layer, or its first path replaced."""
    root = tree()
    group = at_layer(root, layer)
    if first:
        one = group.find(f"{SVG}path")
        one.set("d", d(one.get("d")))
    else:
        shape(group, "path", d=d)
    return written(root)


def edits_of(data):
    return edits_in(open_drawing(data), DRAFT).edits


@pytest.mark.parametrize("kept", [3, 10, 50])
def test_an_outline_cut_down_is_no_outline(kept):
    """Of the outline a few corners are left: nothing is judged by it."""
    short = drawing_with(
        "cut-outline", lambda d: " ".join(re.findall("[MLA][^MLAZ]*", d)[:kept]) + " Z", "first"
    )
    found = edits_of(short)
    assert [edit.kind for edit in found if edit.state == "breaks the support"] == [
        "outline removed"
    ]
    assert all(edit.state != "harmless" for edit in found if edit.changes)


def test_a_cut_that_crosses_itself_is_judged_by_all_it_encloses():
    """The smaller half of a bow lies across the crease."""
    x, y = at(BASE[1] - 25, 60)
    across = edits_of(drawing_with("cut-holes", f"M {x} {y} l 30 -20 v 20 l -30 -20 Z"))
    assert [(edit.state, "across left foot" in edit.why) for edit in across] == [
        ("breaks the support", True)
    ]
    within = edits_of(drawing_with("cut-holes", f"M {x - 50} {y} l 20 -20 v 20 l -20 -20 Z"))
    assert [(edit.state, "crosses itself" in edit.why) for edit in within] == [("look at it", True)]


def middle_of_the_left_label():
    letters = [s.path for s in DRAFT.pattern.of_role(Role.LABEL) if s.name == "label left"]
    return at(*box_of(letters).centre)


def test_a_hole_through_the_letters_of_a_label_is_to_be_looked_at():
    """The letters are cut away: the piece says no more which support it is."""
    x, y = middle_of_the_left_label()
    ring = f"M {x - 6} {y} a 6 6 0 0 1 12 0 a 6 6 0 0 1 -12 0 Z"
    (hole,) = edits_of(drawing_with("cut-holes", ring))
    assert hole.state == "look at it"
    assert re.search(r"it takes \d+ of \d+ strokes of label left", hole.why)
    assert "label right" not in hole.why


def test_a_notch_through_the_letters_of_a_label_is_to_be_looked_at():
    root = tree()
    notch(root, deep=85)
    (found,) = edits_of(written(root))
    assert found.kind == "notch"
    assert "strokes of label left" in found.why


def test_what_labels_and_ticks_told_is_said_where_they_are_gone():
    """All on the layer of labels; each says what is lost with it."""
    root = tree()
    layer = at_layer(root, "label")
    for one in list(layer.iter(f"{SVG}path")):
        layer.remove(one)
    said = {edit.name: edit.why for edit in edits_of(written(root))}
    meant = {s.name for s in DRAFT.pattern.of_role(Role.LABEL)}
    assert {*said} == meant
    assert len({said["label left"], said["tape tick, left tab"]}) == 2
    assert "left from right" in said["label left"] == said["label right"]
    assert "where a tab ends" in said["tape tick, left tab"]


def test_a_hole_where_a_label_was_moved_away_is_harmless():
    x, y = middle_of_the_left_label()
    root = tree()
    for one in at_layer(root, "label"):
        d = one.get("d")
        if d and float(d.split()[1]) < at(LEG[0], 0)[0]:
            one.set("transform", "translate(0,-55)")
    shape(at_layer(root, "cut-holes"), "circle", cx=x, cy=y, r=6)
    found = {edit.kind: edit for edit in edits_of(written(root))}
    assert "strokes of" not in found["hole added"].why
    assert found["hole added"].state == "harmless"


@pytest.mark.parametrize(
    ("panel", "touched"), [("left board", True), ("left base", False), ("right base", False)]
)
def test_a_hole_is_to_have_smooth_edges_where_the_book_lies_and_there_alone(panel, touched):
    x, y = at(sum(DRAFT.pattern.span(panel)) / 2, 30)
    (hole,) = edits_of(drawing_with("cut-holes", f"M {x} {y} l 6 0 v 6 h -6 Z"))
    assert hole.panel == panel
    assert ("the book lies there: every edge is to be smooth" in hole.why) == touched


def test_a_crease_that_runs_on_across_a_panel_breaks():
    on = drawing_with("score-mountain", lambda d: f"{d} h 40", "first")
    assert [(edit.kind, edit.state) for edit in edits_of(on)] == [
        ("crease added", "breaks the support")
    ]


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"hello",
        b"<svg xmlns='http://www.w3.org/2000/svg'><use href='#a' id='a'/></svg>",
        b"<svg xmlns='http://www.w3.org/2000/svg'><g transform='"
        + b"scale(2)" * 30_000
        + b"'><path d='M0 0L1 1' stroke='red'/></g></svg>",
        b"<svg xmlns='http://www.w3.org/2000/svg'>" + b"<g>" * 900 + b"</g>" * 900 + b"</svg>",
        b"<svg xmlns='http://www.w3.org/2000/svg'><path stroke='red' d='M0 0 L 1e999 0'/></svg>",
        b"<svg xmlns='http://www.w3.org/2000/svg'>"
        + b"<path d='M0 0L1 1' stroke='red'/>" * 70_000
        + b"</svg>",
        b"<!DOCTYPE svg [<!ENTITY a 'b'>]><svg xmlns='http://www.w3.org/2000/svg'>&a;</svg>",
        b"%PDF-1.7\nnothing",
        b"  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n 10\nnan\n",
        b"\x1f\x8bnothing",
        b"0\nSECTION\n2\nENTITIES\n" + b"0\nPOINT\n" * 500_000,
    ],
)
def test_damage_is_refused_in_words(data):
    with pytest.raises(FileError) as refused:
        edits_in(open_drawing(data), drafted(SLIP, Order()))
    assert refused.value.fault.remedy


@pytest.mark.parametrize(
    ("cloned", "most"),
    [("<path d='M0 0L1 1' stroke='red'/>", "2,500 lines"), ("<g/>", "60,000 elements")],
)
def test_clones_of_clones_are_counted(cloned, most):
    """1 kB of clones in clones would be hundreds of thousands of lines, or of empty groups."""
    groups = "".join(
        f"<g id='g{i}'>" + f"<use href='#g{i - 1}'/>" * 8 + "</g>" for i in range(1, 8)
    )
    data = f"<svg xmlns='http://www.w3.org/2000/svg'><g id='g0'>{cloned}</g>{groups}</svg>"
    with pytest.raises(FileError, match=f"more than {most}"):
        open_drawing(data.encode())


@pytest.mark.parametrize("form", ["SVG", "DXF", "PDF"])
def test_lines_are_refused_as_soon_as_there_are_too_many(form, monkeypatch):
    """At the limit a drawing is read whole; one more is refused while it is read."""
    monkeypatch.setattr("cutfiles.edits.limits.MOST_LINES", 3)
    with pytest.raises(FileError, match="more than 3 lines"):
        open_drawing(lines_as(form, 4))
    assert len(open_drawing(lines_as(form, 3)).lines) == 3


def lines_as(form, count):
    """Return a drawing of so many lines."""
    places = range(1, count + 1)
    if form == "SVG":
        lines = "".join(f"<path d='M0 {i}h9' stroke='red'/>" for i in places)
        return f"<svg xmlns='http://www.w3.org/2000/svg'>{lines}</svg>".encode()
    if form == "DXF":
        lines = "".join(f"0\nLINE\n8\n0\n10\n0\n20\n{i}\n11\n9\n21\n{i}\n" for i in places)
        return f"0\nSECTION\n2\nENTITIES\n{lines}0\nENDSEC\n0\nEOF\n".encode()
    from pypdf import PdfWriter
    from pypdf.generic import DecodedStreamObject, NameObject

    writer = PdfWriter()
    page = writer.add_blank_page(100, 100)
    content = DecodedStreamObject()
    content.set_data("".join(f"0 {i} m 9 {i} l S\n" for i in places).encode())
    page[NameObject("/Contents")] = writer._add_object(content)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def test_a_name_of_a_support_is_not_that_of_its_edits(tmp_path):
    (tmp_path / "E7.edits.toml").write_text('number = "E8"\n')
    with pytest.raises(FileError, match="they must be those of E7"):
        kept_beside(tmp_path, "E7")


def test_three_layers_keep_their_edits():
    """On an inner flap a label is added, moved along and read back in its band."""
    slip = slip_from(
        {
            **VALUES,
            "number": "T7",
            "weight": "150 g",
            "support": {"layers": 3, "gauge": "3 mil", "construction": "plain"},
        },
        "T7.toml",
    )
    draft = drafted(slip, Order())
    band = draft.pattern.band("outer flap").box
    start, end = draft.pattern.span("left base")
    drawing = write_drawing(draft.drawing, FORMATS["svg"], Options()).decode()
    x, y = (start + end) / 2 + 10, draft.drawing.height - (band.centre.y + 10)
    mark = f'<g id="label"><path stroke="#009E73" d="M {x} {y} l 6 0"/></g></svg>'
    found = edits_in(open_drawing(drawing.replace("</svg>", mark).encode()), draft)
    (edit,) = found.edits
    assert (edit.kind, edit.panel, edit.band) == ("label added", "left base", "outer flap")
    kept = kept_of("T7", found.edits, draft.pattern)
    assert kept.edits[0].anchor.band == "outer flap"
    (placed,) = placed_anew(draft, kept)
    assert placed.at == pytest.approx(edit.at, abs=0.002)


def test_some_edits_are_kept_without_the_others(several, tmp_path):
    numbers = {number for number, edit in numbered(several.found.edits) if edit.kind == "notch"}
    keep(some_of(several, numbers), tmp_path)
    assert [edit.kind for edit in kept_beside(tmp_path, "E7")["E7"].edits] == ["notch"]


def test_some_edits_are_judged_without_the_others(several):
    """They are placed anew, as when the support is made: on a lower book the slot has no room."""
    alone = replace(several, draft=draft_of(slip_from(VALUES | {"height": 60}, "E7.toml")))
    slot = {number for number, edit in numbered(several.found.edits) if edit.kind == "hole added"}
    with pytest.raises(DesignError, match="no longer fit"):
        some_of(alone, slot)


def test_what_somebody_says_of_a_layer_counts():
    data = drawn_with("renamed")
    asked = {one.layer: one.role for one in edited(data, "E7.svg", SLIP).found.guessed}
    right = edited(data, "E7.svg", SLIP, roles=asked).found
    assert right.guessed == ()
    assert right.state == "harmless"
    layers = {role: layer for layer, role in asked.items()}
    swapped = asked | {layers[Role.VALLEY]: Role.OUTLINE}
    assert edited(data, "E7.svg", SLIP, roles=swapped).found.state == "breaks the support"


@pytest.mark.parametrize("key", ["dxf-r12", "dxf-r2000"])
def test_a_dxf_that_lost_its_comments_states_its_measures(key):
    """A library's plain save drops comments: the texts on the guide layer say it all again."""
    document = dxf_document(key)
    saved = dxf_bytes(document)
    assert b"999\nnumber" not in saved
    assert edits_of(saved) == ()  # R12 freezes its guides: they are not left out
    data = saved.decode().encode("cp1252")
    assert dict(read_dxf(data).facts).items() >= dict(DRAFT.pattern.facts).items()


@pytest.mark.parametrize("dropped", ["desc", "metadata"])
def test_an_svg_states_its_measures_twice(dropped):
    root = tree()
    root.remove(root.find(f"{SVG}{dropped}"))
    assert edits_of(written(root)) == ()
    assert read_svg(written(root)).facts == dict(DRAFT.pattern.facts)


def test_lines_carry_their_names_where_editors_show_them():
    names = {s.name for s in DRAFT.drawing.strokes if s.role.startswith(("score", "cut"))}
    named = [one for one in tree().iter(f"{SVG}path") if one.find(f"{SVG}title") is not None]
    assert {one.findtext(f"{SVG}title") for one in named} == names
    assert all(one.get(f"{INK}label") == one.findtext(f"{SVG}title") for one in named)


def test_lines_of_a_dxf_carry_their_names_as_groups():
    """Each in a group of its own, so that one is picked as before; R12 has no groups."""
    document = dxf_document()
    groups = {group.dxf.description: (name, list(group)) for name, group in document.groups}
    named = [s for s in DRAFT.drawing.strokes if s.role.startswith(("score", "cut"))]
    assert {name for name, _ in groups.values()} >= {"left apex middle", "outline"}
    assert groups.keys() == {s.name for s in named}
    assert len(document.groups) == len(named)
    for told, (_, members) in groups.items():
        (one,) = members
        (stroke,) = [s for s in named if s.name == told]
        assert one.dxf.layer == layer_name(stroke.role)
    assert document.audit().errors == document.audit().fixes == []
    saved = dxf_bytes(document)
    assert [edit for edit in edits_of(saved) if edit.changes] == []
    assert b"GROUP" not in write_drawing(DRAFT.drawing, FORMATS["dxf-r12"], Options())


def test_guides_of_a_dxf_switched_off_are_told():
    document = dxf_document("dxf-r2000")
    document.layers.get("GUIDE").off()
    (edit,) = edits_of(dxf_bytes(document))
    assert (edit.kind, edit.state) == ("guides left out", "harmless")
    assert "switched off" in edit.why


def test_a_dxf_for_a_machine_names_no_lines():
    bare = tuple(s for s in DRAFT.drawing.strokes if s.role is not Role.GUIDE)
    drawing = replace(DRAFT.drawing, strokes=bare, notes=())
    assert b"\nGROUP\n" not in write_drawing(drawing, FORMATS["dxf-r2000"], Options())


CHANGED = ("hole_round", "notch", "logo", "hole_crease", "crease_moved", "hole_outside")


def test_picture_for_designers():
    """The readme's picture of what may be changed, and what never; remade from today's drawing."""
    edits = edits_of(drawn_with(*CHANGED))
    assert [edit.state for edit in edits].count("harmless") == 3
    picture = edits_picture(DRAFT.pattern, edits, "What may be changed, and what never")
    assert b"on the left board panel" in picture  # as the bench card calls it
    kept = ROOT / "samples" / "edited.svg"
    if os.environ.get("REMAKE"):
        kept.write_bytes(picture)
    assert kept.read_bytes() == picture


def test_the_picture_says_each_state_first_and_no_sentence_is_cut():
    edits = edits_of(drawn_with(*CHANGED))
    picture = ElementTree.fromstring(edits_picture(DRAFT.pattern, edits, "E7"))
    texts = [one.text for one in picture.iter(f"{SVG}text")]
    for number, edit in numbered(edits):
        assert any(text.startswith(f"{number}  {edit.state}: ") for text in texts)
    assert not any(text.endswith("…") for text in texts)
    many = edits_picture(DRAFT.pattern, edits * 9, "E7").decode()
    assert len(re.findall(r">\d+  (?:breaks|look|harmless)", many)) == 54 - 40
    assert ">and 40 more<" in many


def test_exhibit_and_both_passes_take_up_an_edit(tmp_path, monkeypatch):
    """An edit kept beside the list is on the shared film and in the pass that draws it."""
    monkeypatch.setattr(tour, "MOST_WORK", SHORT_WORK)
    slip = slip_from({"number": "T1", **SMALL}, "T1.toml")
    draft = drafted(slip, Order())
    x, y = at_of(draft, "left base")
    drawing = write_drawing(draft.drawing, FORMATS["svg"], Options()).decode()
    mark = f'<g id="label"><path stroke="#009E73" d="M {x} {y} l 4 0 l 0 3"/></g></svg>'
    keep(edited(drawing.replace("</svg>", mark).encode(), "T1.svg", slip), tmp_path)
    (tmp_path / "list.csv").write_text(
        "number,height mm,width mm,spine width mm,opening angle\nT1,60,45,20,110\n"
    )
    (tmp_path / "bench.toml").write_text(PROFILE)
    words = ("exhibit", "list.csv", "--cutter", "bench.toml", "--to", "out", "--no-cards")
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(cli, [*words, "--shelf", "roll 500 mm", "--workers", "1"])
    assert done.exit_code == 0, done.output
    sheets = sorted((tmp_path / "out" / "sheets").glob("*.svg"))
    lines = f"./{SVG}g[@id='label']/{SVG}path"
    labels = [len(ElementTree.parse(one).findall(lines)) for one in sheets]
    drawn = len(draft.pattern.of_role(Role.LABEL)) + 1
    assert len(sheets) == 3
    assert sum(labels[:2]) == labels[2] == drawn
    said = CliRunner().invoke(cli, ["verify", *map(str, sheets)])
    assert said.output.count(": verified") == 3, said.output


SMALL = {"units": "mm", "height": 60, "width": 45, "spine_width": 20, "opening_angle": 110}
PROFILE = """
name = "bench"
kind = "knife"
formats = ["svg"]
[bed]
width = "1200 mm"
length = "1200 mm"
[score]
method = "impress"
"""


def at_of(draft, panel):
    """Return a place on a panel in the SVG's own numbers."""
    start, end = draft.pattern.span(panel)
    return (start + end) / 2 + 5 - 3, draft.drawing.height - 5 - 10


def test_rounded_to_a_hundredth_is_the_same():
    text = re.sub(r"\d+\.\d+", lambda one: f"{float(one[0]):.2f}", written(tree()).decode())
    body = text.partition("</metadata>")[2]
    whole = written(tree()).decode().partition("</metadata>")
    assert body != whole[2]
    assert edits_of((whole[0] + whole[1] + body).encode()) == ()
