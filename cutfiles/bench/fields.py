"""The fields of a slip, in one table: the reader, the blank slip and the command line share it."""

from typing import get_args

from cutfiles.bench.choices import CHOSEN, SUPPORT
from cutfiles.bench.film import AS_GAUGE, THICKEST, THINNEST, Coating, Film
from cutfiles.tables.field import Field, Table
from cutfiles.units import UNITS


def _text(name: str, help: str, example: str, most: int) -> Field:
    return Field(name=name, kind="text", help=help, example=example, most=most)


def _length(name: str, help: str, example: str, least: float, most: float) -> Field:
    return Field(name=name, kind="length", help=help, example=example, least=least, most=most)


def _angle(name: str, help: str, example: str, least: float, most: float) -> Field:
    return Field(name=name, kind="angle", help=help, example=example, least=least, most=most)


def _choice(name: str, help: str, *choices: str, table: str = "") -> Field:
    return Field(
        name=name, kind="choice", help=help, choices=choices, table=table, example=choices[0]
    )


STEEPEST_SLOPE = 75.0
"""Steeper slopes are refused, degrees (design: common practice, no source)."""
LEAST_OPENING = 30.0
"""A narrower opening angle is refused, degrees."""

MEASURES: tuple[Field, ...] = (
    Field(
        name="number",
        kind="label",
        help="the support's number: drawn on the film, part of every file's name",
        example="A1",
        most=40,
        needed=True,
    ),
    _text("title", "short title", "Garden calendar", 300),
    _text("opening", "the place it is open at", "p. 84-85", 120),
    _text("shelf_mark", "where the book belongs", "GC 12", 120),
    _choice("units", "what a number without a unit counts in", *UNITS),
    _length("height", "head to tail of the boards", "203 mm", 15, 1000)._replace(needed=True),
    _length("width", "joint to fore edge, outside, if both boards are alike", "133 mm", 10, 1000),
    _length("left_width", "the same of the left board, if they differ", "133 mm", 10, 1000),
    _length("right_width", "the same of the right board", "133 mm", 10, 1000),
    _length("spine_width", "joint to joint across the spine at this opening", "34 mm", 0.5, 300),
    _length("thickness", "of the closed book; used if there is no spine_width", "34 mm", 0.5, 300),
    _length("left_rise", "height of the left fore edge above its joint", "66 mm", 0, 1000),
    _length("right_rise", "height of the right fore edge above its joint", "66 mm", 0, 1000),
    _length("left_joint", "height of the left joint above the table, propped", "20 mm", 0, 1000),
    _length("right_joint", "the same of the right joint; the other one is on it", "0", 0, 1000),
    _length("left_fore_edge", "height of the left fore edge above the table", "86 mm", 0, 1000),
    _length("right_fore_edge", "the same of the right one; each needs its joint", "66 mm", 0, 1000),
    _angle("left_slope", "angle of the left board, if there is no rise", "30", 0, STEEPEST_SLOPE),
    _angle("right_slope", "angle of the right board, if there is no rise", "30", 0, STEEPEST_SLOPE),
    _angle(
        "opening_angle",
        "between the boards, if there are neither rises nor slopes",
        "120",
        LEAST_OPENING,
        180,
    ),
    _angle("spine_tilt", "of the spine, if there are no joints; left higher is +", "30", -90, 90),
    _length("span", "fore edge to fore edge, level: only to check the others", "240 mm", 0, 2000),
    _length("left_side", "thickness of board and leaves on the left", "17 mm", 0, 300),
    _length("right_side", "thickness of board and leaves on the right", "16 mm", 0, 300),
    _angle(
        "page_angle", "between the open leaves, where they open less than the boards", "110", 5, 180
    ),
    Field(
        name="pages",
        kind="number",
        help="number of the last page or leaf",
        example="180",
        least=1,
        most=20000,
    ),
    Field(name="weight", kind="weight", help="of the book", example="641 g", least=1, most=50000),
    _choice("cover", "stiff boards or a limp cover", "boards", "limp"),
    _text("binding", "kind of binding, in words", "cloth case, hollow back", 120),
    _text("note", "what else the bench should know", "easy opener", 1000),
    _length("case_depth", "free inside the case, front to back", "400 mm", 20, 10000),
    _length("case_width", "the same, left to right", "600 mm", 20, 10000),
    _length("case_height", "the same, from its floor up", "300 mm", 20, 10000),
)

SETTINGS: tuple[Field, ...] = (
    Field(
        name="film",
        kind="text",
        help="the film's name in the table of films, instead of a gauge",
        example="PET 5 mil",
        most=200,
        table=SUPPORT,
    ),
    _choice(
        "coating",
        "of the film: only an uncoated one may be cut with a laser",
        *get_args(Coating),
        table=SUPPORT,
    )._replace(usual=Film().coating),
    Field(
        name="gauge",
        kind="length",
        help="thickness of one film; chosen by what is sure, if not set",
        example="5 mil",
        least=THINNEST,
        most=THICKEST,
        table=SUPPORT,
        hint=AS_GAUGE,
    ),
    _choice(
        "layers",
        "films on one another, 3 for a strip folded in three; chosen by what is sure, if not set",
        "1",
        "3",
        table=SUPPORT,
    ),
    *CHOSEN,
)

FIELDS: tuple[Field, ...] = MEASURES + SETTINGS
SLIP = Table(
    "a slip", FIELDS, see="correct or remove it; a blank slip shows all fields", noun="slip"
)
