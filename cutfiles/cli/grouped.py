"""A command whose options are told under headings, and filled from workshop files."""

from typing import Any

import click

from cutfiles.cli import taken

EVERYDAY, MEASURES, SUPPORT, CUTTER, EXHIBIT = GROUPS = (
    "Everyday",
    "What was measured",
    "The support",
    "The cutter",
    "The exhibit",
)
"""The headings under which options are told, in this order."""


class GroupedOption(click.Option):
    """An option that knows the heading it is told under."""

    def __init__(self, *given: Any, group: str = EVERYDAY, **more: Any) -> None:
        super().__init__(*given, **more)
        self.group = group


class FormatOption(GroupedOption):
    """The option that names formats; its help is told from the table when it is asked for."""

    def get_help_record(self, ctx: click.Context) -> tuple[str, str] | None:
        """Return the option and what it says of the formats there are."""
        from cutfiles.machine.formats import choices, usual_formats

        known = choices()
        usual = usual_formats()
        left = ", ".join(key for key in known["all"] if key not in usual)
        self.help = f"{', '.join(known)}; several with commas; default: all but {left}"
        return super().get_help_record(ctx)


OLD = {"--no-sheet": "--no-cards", "--stock": "--shelf"}
"""What options were called once, still understood."""


def _renamed(word: str) -> str:
    name, given, value = word.partition("=")
    return OLD.get(name, name) + given + value


class GroupedCommand(click.Command):
    """A command that tells its options under headings, and takes some from workshop files."""

    def __init__(self, *given: Any, **more: Any) -> None:
        super().__init__(*given, **more)
        if taken.fills(self):
            told = "take nothing from workshop files (see: cutfiles workshop)"
            names = ["--no-workshop"]
            self.params.append(GroupedOption(names, is_flag=True, expose_value=False, help=told))

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read the arguments, options by the names they once had too."""
        args = [_renamed(one) for one in args]
        taken.prepare(self, ctx, args)
        return super().parse_args(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:
        """Tell what workshop files say, and run the command."""
        taken.tell_taken(ctx)
        return super().invoke(ctx)

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the options, heading by heading."""
        told: dict[str, list[tuple[str, str]]] = {group: [] for group in GROUPS}
        for one in self.get_params(ctx):
            record = one.get_help_record(ctx)
            if record is not None and not isinstance(one, click.Argument):
                told[getattr(one, "group", EVERYDAY)].append(record)
        for group, records in told.items():
            if records:
                with formatter.section(group):
                    formatter.write_dl(records)
