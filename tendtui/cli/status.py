"""`tendtui status`: one look, in one line or as JSON; exit status 1 where something needs doing."""

from __future__ import annotations

from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

__all__ = ["add", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument("--json", action="store_true", help="print it for a script")
    parser.epilog = _(
        "At login: tendtui status in ~/.profile. From cron, only where something is due: "
        'out=$(tendtui status) || echo "$out"'
    )


def run(args: argparse.Namespace) -> int:
    """Print the one look."""
    from tendtui.cli.opened import open_session
    from tendtui.core.status import status_json, status_line
    from tendtui.session.status_now import status_now

    session = open_session(args.state)
    status = status_now(session, ahead=args.json)
    if args.json:
        import json

        print(json.dumps(status_json(status), ensure_ascii=False, indent=1))
    else:
        print(status_line(status, session.rack))
    return 1 if status.needs_doing else 0
