"""What in a profile contradicts itself: each fault names the field, the finding and the remedy."""

from collections.abc import Iterator

from cutfiles.errors import Fault, Place
from cutfiles.machine.cutter import Cutter, Material
from cutfiles.machine.formats import FORMATS, Format
from cutfiles.machine.place import machine_corners
from cutfiles.machine.score import worked_face
from cutfiles.pattern.pattern import Role

Said = tuple[str, str, str, str]
"""Field, found, needed, remedy."""


def contradictions(cutter: Cutter) -> Iterator[Fault]:
    """Yield what contradicts itself in a profile whose single fields are sound."""
    profile = Place(file=cutter.source)
    for check in (_controller, _scoring, _tools, _bed, _layers):
        for path, *said in check(cutter):
            yield Fault(profile.at(path), *said)
    for index, (name, *said) in _materials(cutter):
        yield Fault(profile.at(f"material.{name}", index), *said)


def _formats(cutter: Cutter) -> tuple[Format, ...]:
    return tuple(FORMATS[key] for key in cutter.formats)


def _controller(cutter: Cutter) -> Iterator[Said]:
    """How a program switches and scales a beam is each controller's own: nothing is usual."""
    if not any(form.modes for form in _formats(cutter)):
        return
    for name, value, what in (
        ("power_range", cutter.power_range, "what full power is"),
        ("beam", cutter.beam, "which word switches the beam on"),
    ):
        if value is None:
            yield (
                f"laser.{name}",
                "nothing",
                f"G-code needs {what}, and every controller has its own",
                f"write {name} in [laser] as the controller's manual says",
            )


def _scoring(cutter: Cutter) -> Iterator[Said]:
    method, side = cutter.method, cutter.side
    if cutter.kind == "laser" and method in ("impress", "channel"):
        yield (
            "score.method",
            f'"{method}" with kind = "laser"',
            "a laser has no tool that presses",
            'write method = "half-cut" or "perforate"',
        )
    if method == "half-cut" and side == "inside":
        yield (
            "score.side",
            '"inside" with method = "half-cut"',
            "a slit on the inside of a fold closes and the film tears behind it",
            'take side out, or write side = "outside"',
        )
    if method == "perforate" and side != "by method":
        yield (
            "score.side",
            f'"{side}" with method = "perforate"',
            "a perforation goes through the film and has no side",
            "take side out",
        )
    faces = {worked_face(method, "valley", side), worked_face(method, "mountain", side)}
    if cutter.turn == "never" and len(faces) > 1:
        yield (
            "score.turn",
            f'"never" with method = "{method}"',
            "valleys and mountains are worked from two faces this way",
            'write turn = "left to right", or score with method = "perforate"',
        )


def _tools(cutter: Cutter) -> Iterator[Said]:
    tool = cutter.tool
    if cutter.kind == "knife" and tool.kerf:
        yield (
            "tool.kerf",
            f'{tool.kerf:g} mm with kind = "knife"',
            "a knife parts the film and burns nothing away",
            "take kerf out",
        )
    if cutter.kind == "laser" and (tool.knife_offset or tool.overcut):
        yield (
            "tool.knife_offset" if tool.knife_offset else "tool.overcut",
            'a length with kind = "laser"',
            "a laser has no blade that trails",
            "take knife_offset and overcut out",
        )
    if tool.bridges and tool.overcut and tool.overcut >= tool.bridge_width:
        yield (
            "tool.overcut",
            f"{tool.overcut:g} mm with bridges of {tool.bridge_width:g} mm",
            "an overcut would part the bridges",
            "make the bridges wider",
        )
    for form in _formats(cutter):
        if cutter.kind not in form.kinds:
            kinds = " and ".join(f"{kind}s" for kind in form.kinds)
            yield (
                "formats",
                f'"{form.key}" with kind = "{cutter.kind}"',
                f"{form.title} is written for {kinds} only",
                f'take "{form.key}" out',
            )
    if any(form.pens for form in _formats(cutter)) and cutter.method in ("impress", "channel"):
        yield from _pens(cutter)


def _pens(cutter: Cutter) -> Iterator[Said]:
    """A tool that presses is not the one that cuts."""
    cuts = {cutter.pens.get(role, 1) for role in (Role.HOLES, Role.OUTLINE)}
    for role, usual in ((Role.VALLEY, 3), (Role.MOUNTAIN, 2)):
        pen = cutter.pens.get(role, usual)
        if pen in cuts and pen:
            yield (
                f"pens.{role}",
                f"pen {pen}, which cuts too",
                f'method = "{cutter.method}" presses a line with a tool of its own',
                "give scores and cuts different pens",
            )


def _bed(cutter: Cutter) -> Iterator[Said]:
    bed = cutter.bed
    if min(bed.reach) < 50:
        yield (
            "bed.margin",
            f"{bed.margin:g} mm on a bed of {bed.width:g} × {bed.length:g} mm",
            "the tool reaches at least 50 mm either way",
            "correct margin, width or length",
        )
        return
    upright = {"up", "down"}
    if (bed.x_axis in upright) == (bed.y_axis in upright):
        yield (
            "bed.y_axis",
            f'"{bed.y_axis}" with x_axis = "{bed.x_axis}"',
            "one axis runs across and one along",
            "correct one of the two",
        )
        return
    units = [form.unit for form in _formats(cutter) if form.unit]
    if not units:
        return
    corners, unit = machine_corners(bed), min(units)
    least, most = min(min(c) for c in corners) / unit, max(max(c) for c in corners) / unit
    if least < bed.range_least - 0.5:
        yield (
            "bed.range_least",
            f"{bed.range_least}, where the bed's corner is {least:.0f}",
            "with this origin and these axes coordinates go below the range",
            f"write range_least = {least:.0f} if the machine takes it, or correct origin and axes",
        )
    if most > bed.range_most + 0.5:
        yield (
            "bed.range_most",
            f"{bed.range_most}, where the bed's far corner is {most:.0f}",
            "the bed is within the range",
            f"write range_most = {most:.0f} if the manual says so, or a smaller bed",
        )


def _layers(cutter: Cutter) -> Iterator[Said]:
    named: dict[str, list[str]] = {}
    for role in Role:
        name = cutter.layers.get(role, role.value)
        named.setdefault(name.casefold().replace("_", "-"), []).append(role)
    for roles in named.values():
        if Role.GUIDE in roles and len(roles) > 1:
            yield (
                "layers.guide",
                f"the layer of {roles[1]}",
                "guides are for people and never machined",
                "give guide its own",
            )
        colours = {cutter.colours[role] for role in roles if role in cutter.colours}
        if len(colours) > 1:
            yield (
                "colours." + roles[-1],
                f"{len(colours)} colours on one layer",
                f"{' and '.join(roles)} share a layer",
                "give them one colour",
            )
    # formats of one group have one palette
    few = {form.group or form.key: form for form in _formats(cutter) if form.palette}
    for group, form in few.items():
        for name, colour in cutter.colours.items():
            if colour not in form.palette:
                yield (
                    f"colours.{name}",
                    f'"{colour}" with a {group.upper()} format',
                    f"{group.upper()} has only " + ", ".join(form.palette),
                    "choose one of them, or let the machine choose by layer",
                )
    if cutter.pens.get(Role.OUTLINE) == 0:
        yield ("pens.cut-outline", "pen 0", "the outline is cut", "give it a pen")


def _materials(cutter: Cutter) -> Iterator[tuple[int, Said]]:
    seen: set[float] = set()
    for index, material in enumerate(cutter.materials, 1):
        gauge = round(material.gauge, 3)
        if gauge in seen:
            yield (
                index,
                (
                    "gauge",
                    f"{gauge:g} mm, a second time",
                    "each gauge has one entry",
                    "take one of the two out",
                ),
            )
        seen.add(gauge)
        for form in _formats(cutter):
            if form.pens:
                yield from ((index, said) for said in _partly(material, form))
        for work, setting in material.settings.items():
            if cutter.kind == "knife" and setting.power is not None:
                yield (
                    index,
                    (
                        f"{work}_power",
                        'a power with kind = "knife"',
                        "a knife has a force",
                        f"write {work}_force",
                    ),
                )
            if cutter.kind == "laser" and setting.force is not None:
                yield (
                    index,
                    (
                        f"{work}_force",
                        'a force with kind = "laser"',
                        "a laser has a power",
                        f"write {work}_power",
                    ),
                )


def _partly(material: Material, form: Format) -> Iterator[Said]:
    """What is set by pens stays set: it must be given for all kinds of work, or for none."""
    for name in ("force", "speed"):
        given = {work for work, s in material.settings.items() if getattr(s, name) is not None}
        for work in sorted(set(material.settings) - given) if given else ():
            yield (
                f"{work}_{name}",
                f"nothing, while {sorted(given)[0]}_{name} is given",
                f"in {form.title} what is set stays set: it is given for cut, score and mark, "
                "or for none",
                f"write {work}_{name} too",
            )
