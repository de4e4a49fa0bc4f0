"""Reads the 34 invented books of scenarios.csv as slips: for tests only, no list import."""

import csv
import re

from conftest import SAMPLES

from cutfiles.bench.slip import slip_from

PATH = SAMPLES / "lists" / "scenarios.csv"
LIMP = re.compile("limp|paperback|wrapper|paper cover")
FIELDS = {
    "support_no": "number",
    "title": "title",
    "binding": "binding",
    "opening": "opening",
    "height_mm": "height",
    "left_board_mm": "left_width",
    "right_board_mm": "right_width",
    "spine_mm": "spine_width",
    "left_side_mm": "left_side",
    "right_side_mm": "right_side",
    "left_slope_deg": "left_slope",
    "right_slope_deg": "right_slope",
    "note": "note",
}


def rows():
    with PATH.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def values_of(row):
    values = {field: row[column] for column, field in FIELDS.items()}
    values |= {"units": "mm", "weight": f"{row['est_weight_g']} g"}
    if row["opening_angle_deg"] != "0":
        values["opening_angle"] = row["opening_angle_deg"]
    if LIMP.search(row["binding"]):
        values["cover"] = "limp"
    return values


def scenario_slips():
    return {row["support_no"]: slip_from(values_of(row)) for row in rows()}
