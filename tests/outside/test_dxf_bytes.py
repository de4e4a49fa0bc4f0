"""Our DXF entities are what ezdxf writes, byte by byte, handles and all."""

import io
import sys
from pathlib import Path

import ezdxf
import pytest
from conftest import SAMPLES, drawn, sample_slips
from hypothesis import given, settings

sys.path.insert(0, str(Path(__file__).parents[1]))
from reference_dxf import write_dxf as by_ezdxf
from strategies import slips

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.files.writers.dxf import write_dxf
from cutfiles.film.lay_many import Placement, lay_many
from cutfiles.pattern.pattern import Role


@pytest.mark.parametrize("release", ["R12", "R2000"])
@pytest.mark.parametrize("path", sample_slips(), ids=lambda path: path.stem)
def test_samples(path, release):
    sheet = draft_of(read_slip(path)).drawing
    assert write_dxf(sheet, release) == by_ezdxf(sheet, release)


@settings(max_examples=drawn(25))
@given(slips())
def test_drawn_slips_turned_and_not(slip):
    pattern = draft_of(slip).pattern
    places = [Placement(pattern, 10, 10), Placement(pattern, 900, 10, turned=True)]
    sheet = lay_many("S1", "S1", 0.127, (3000, 2000), 10.0, places)
    for release in ("R12", "R2000"):
        assert write_dxf(sheet, release) == by_ezdxf(sheet, release)


@pytest.mark.parametrize("release", ["R12", "R2000"])
@pytest.mark.parametrize("name", ["SEED", "CLASS", "ENDSEC", "ENTITIES", "GROUP", "DICTIONARY"])
def test_a_layer_is_named_like_a_word_of_the_file(name, release):
    sheet = draft_of(read_slip(SAMPLES / "B1.toml")).drawing
    data = write_dxf(sheet, release, {Role.OUTLINE: name})
    document = ezdxf.read(io.StringIO(data.decode()))
    assert {one.dxf.layer for one in document.modelspace()} <= {
        layer.dxf.name for layer in document.layers
    }
    assert any(one.dxf.layer == name for one in document.modelspace())
    assert not document.audit().errors


@pytest.mark.parametrize("release", ["R12", "R2000"])
def test_no_application_is_listed_that_no_entity_carries_data_of(release):
    """But ACAD, which each file has."""
    data = write_dxf(draft_of(read_slip(SAMPLES / "B1.toml")).drawing, release).decode()
    lines = data[data.index("TABLES") :].splitlines()[1:]
    tags = [*zip(lines[::2], lines[1::2], strict=False)]
    rows = [i for i, tag in enumerate(tags) if tag == ("0", "APPID")]
    listed = {next(value for key, value in tags[i:] if key == "2") for i in rows}
    assert listed == {"ACAD"} | {value for key, value in tags if key == "1001"}


def test_no_object_is_left_that_nothing_names():
    """Read as plain group codes: each is in a dictionary, by 350 or 360; the first is the root."""
    data = write_dxf(draft_of(read_slip(SAMPLES / "B1.toml")).drawing, "R2000").decode()
    lines = data[data.index("OBJECTS") :].splitlines()[1:]
    tags = [*zip(lines[::2], lines[1::2], strict=False)]
    root, *others = [value for code, value in tags if code == "5"]
    assert len(others) > 10
    named = {value for code, value in tags if code in ("350", "360")}
    assert set(others) <= named
    assert root not in named
