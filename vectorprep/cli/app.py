"""The command with its verbs, each loaded when it is used.

Comes in: arguments. Goes out: an exit code; every error becomes words on stderr here.
Never done here: the work of a verb.
"""

from __future__ import annotations

import os
import sys
import traceback
from contextlib import suppress
from importlib import import_module

import click

from vectorprep import __version__
from vectorprep.errors import ExitCode, VectorprepError

VERBS: dict[str, tuple[str, str]] = {
    "convert": ("vectorprep.cli.verb_convert", "Make print files and previews from drawings."),
    "audit": ("vectorprep.cli.verb_audit", "Judge drawings on every blank; make no print file."),
    "recolour": ("vectorprep.cli.verb_recolour", "Write the recoloured drawings, still vector."),
    "measure": ("vectorprep.cli.verb_measure", "Show page, real ink box, inks, images, text."),
    "decide": ("vectorprep.cli.verb_decide", "Lay decisions of the review sheet into the settings."),
    "proof": ("vectorprep.cli.verb_proof", "Write a PDF of each drawing to be signed."),
    "gang": ("vectorprep.cli.verb_gang", "Lay print files together on film for transfers."),
    "profiles": ("vectorprep.cli.verb_profiles", "List, show or validate products."),
    "picture": ("vectorprep.cli.verb_picture", "Try one drawing on one product picture."),
    "verify": ("vectorprep.cli.verb_verify", "Check made files against their manifest."),
    "explain": ("vectorprep.cli.verb_explain", "Say what a finding means and how to mend it."),
}

EXAMPLES = """\b
  vectorprep convert drawings/ --out ready/
  vectorprep audit drawings/ --blank pale
  vectorprep recolour fox.svg --blank navy --out recoloured/
  vectorprep explain ink-lost
"""


class LazyVerbs(click.Group):
    """A group that imports a verb's module only when that verb is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Verbs in the order of the work."""
        del ctx
        return list(VERBS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The verb, or None where there is no such verb."""
        del ctx
        entry = VERBS.get(cmd_name)
        if entry is None:
            return None
        command = import_module(entry[0]).command
        return command if isinstance(command, click.Command) else None

    def resolve_command(self, ctx: click.Context, args: list[str]) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, with the nearest verb named where one is misspelt."""
        if args and args[0] not in VERBS and not args[0].startswith("-"):
            raise click.UsageError(_unknown_verb(args[0]), ctx)
        return super().resolve_command(ctx, args)

    def format_help(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Examples first, then the verbs."""
        del ctx
        formatter.write("From a folder of SVG drawings to print files, previews and a manifest.\n\n")
        formatter.write("Examples:\n" + EXAMPLES.removeprefix("\b\n") + "\n")
        with formatter.section("Verbs"):
            formatter.write_dl([(name, text) for name, (_, text) in VERBS.items()])
        formatter.write("\nvectorprep VERB --help shows a verb's options. vectorprep --version shows the version.\n")


def _unknown_verb(word: str) -> str:
    from difflib import get_close_matches

    near = get_close_matches(word, VERBS, n=1, cutoff=0.5)
    hint = f" Did you mean '{near[0]}'?" if near else f" The verbs are: {', '.join(VERBS)}."
    return f"There is no verb '{word}'.{hint}"


@click.group(cls=LazyVerbs, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="vectorprep", message="%(prog)s %(version)s")
@click.pass_context
def group(ctx: click.Context) -> None:
    """From a folder of SVG drawings to print files, previews and a manifest."""
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


def run(arguments: list[str]) -> int:
    """Carries the command out and returns the exit code; from its first to its last step a signal stops it in good order."""
    from vectorprep.run.stop import stop_signals

    with stop_signals():
        return _carried_out(arguments)


def _carried_out(arguments: list[str]) -> int:
    _steady_streams()
    try:
        _watch_stdout()
        code = group.main(args=arguments, prog_name="vectorprep", standalone_mode=False)
        sys.stdout.flush()
    except click.ClickException as error:
        error.show(file=sys.stderr)
        return int(ExitCode.USAGE)
    except VectorprepError as error:
        click.echo(f"vectorprep: {error}", err=True)
        return int(error.exit_code)
    except (click.Abort, KeyboardInterrupt):
        click.echo("vectorprep: stopped", err=True)
        return int(ExitCode.STOPPED)
    except (BrokenPipeError, SystemExit):  # click turns the former into the latter
        _forget_streams()
        return int(ExitCode.STOPPED)
    except Exception:  # noqa: BLE001  the one place where a bug becomes an exit code
        click.echo("vectorprep: this is a bug in vectorprep, not in your files. Please report the lines below.", err=True)
        click.echo(traceback.format_exc(), err=True)
        return int(ExitCode.BUG)
    return int(code or 0)


def _steady_streams() -> None:
    """Output survives a console without the character (cp1252, ASCII)."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(
                errors="replace" if stream is sys.stdout and (stream.encoding or "").lower() != "utf-8" else "backslashreplace"
            )


def _watch_stdout() -> None:
    """A run ends when nobody is left to read its result; streams without a handle have no such reader."""
    from vectorprep.run.stop import watch_reader

    with suppress(OSError, ValueError, AttributeError):
        watch_reader(sys.stdout.fileno())


def _forget_streams() -> None:
    """Nobody reads any more: keep the interpreter's last flush from failing."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError, AttributeError):
            os.dup2(nowhere, stream.fileno())
