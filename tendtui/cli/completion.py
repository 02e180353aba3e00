"""`tendtui completion`: words for the Tab key of bash, zsh and fish, made from the parsers."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable, Mapping

from tendtui.cli.call_shape import CommandShape, OptionShape, shapes
from tendtui.core.recording import NAMES
from tendtui.words import _

__all__ = ["SHELLS", "add", "run"]

_PATHS = {"FILE": "file", "DIR": "dir"}
_NAMED = ("record", "dose")
"""Commands whose words are NAME=VALUE."""


def add(parser: argparse.ArgumentParser) -> None:
    """Name the shell."""
    parser.add_argument("shell", choices=tuple(SHELLS), help=_("the shell that is to complete"))
    parser.epilog = _(
        'bash: eval "$(tendtui completion bash)" in ~/.bashrc; zsh and fish: into a file they read.'
    )


def run(args: argparse.Namespace) -> int:
    """Print the script."""
    print(SHELLS[args.shell](shapes()), end="")
    return 0


def _bash(commands: Iterable[CommandShape]) -> str:
    commands = tuple(commands)
    cases = "".join(_bash_case(command) for command in commands)
    names = " ".join(command.name for command in commands)
    return f"""\
# tendtui: completion for bash
_tendtui() {{
    local cur="${{COMP_WORDS[COMP_CWORD]}}" prev="" cmd="" i
    (( COMP_CWORD > 0 )) && prev="${{COMP_WORDS[COMP_CWORD-1]}}"
    COMPREPLY=()
    for (( i = 1; i < COMP_CWORD; i++ )); do
        case "${{COMP_WORDS[i]}}" in
            --state) (( i++ )) ;;
            -*) ;;
            *) cmd="${{COMP_WORDS[i]}}"; break ;;
        esac
    done
    case "$prev" in
        --state) local IFS=$'\\n'; COMPREPLY=( $(compgen -d -- "$cur") ); return ;;
    esac
    case "$cmd" in
        "") COMPREPLY=( $(compgen -W "{names} --state --help --version" -- "$cur") ) ;;
{cases}    esac
}}
complete -F _tendtui tendtui
"""


def _bash_case(command: CommandShape) -> str:
    options = " ".join(name for option in command.options for name in option.names)
    lines = [f"        {command.name})\n"]
    after = [
        f"                {'|'.join(option.names)}) {_bash_values(option)}; return ;;\n"
        for option in command.options
        if option.value and option.names != ("--state",)
    ]
    if after:
        lines += ['            case "$prev" in\n', *after, "            esac\n"]
    words = _bash_words(command)
    if words:
        lines.append(f'            if [[ "$cur" != -* ]]; then {words}; return; fi\n')
    lines.append(f'            COMPREPLY=( $(compgen -W "{options}" -- "$cur") ) ;;\n')
    return "".join(lines)


def _bash_values(option: OptionShape) -> str:
    if option.choices:
        return f'COMPREPLY=( $(compgen -W "{" ".join(option.choices)}" -- "$cur") )'
    flag = {"file": "-f", "dir": "-d"}.get(_PATHS.get(option.value, ""), "")
    return _bash_paths(flag) if flag else "COMPREPLY=()"


def _bash_words(command: CommandShape) -> str:
    if command.name in _NAMED:
        names = " ".join(_names())
        return f'compopt -o nospace 2>/dev/null; COMPREPLY=( $(compgen -W "{names}" -- "$cur") )'
    for word in command.words:
        if word.choices:
            return f'COMPREPLY=( $(compgen -W "{" ".join(word.choices)}" -- "$cur") )'
        if word.value in _PATHS:
            return _bash_paths("-f" if word.value == "FILE" else "-d")
    return ""


def _bash_paths(flag: str) -> str:
    """Give paths one a line, so that blanks in their names stay."""
    return f"local IFS=$'\\n'; COMPREPLY=( $(compgen {flag} -- \"$cur\") )"


def _zsh(commands: Iterable[CommandShape]) -> str:
    commands = tuple(commands)
    listed = "\n".join(f"        {_quoted(f'{c.name}:{c.line}')}" for c in commands)
    cases = "".join(_zsh_case(command) for command in commands)
    return f"""\
#compdef tendtui
# tendtui: completion for zsh
_tendtui() {{
    local context state state_descr line
    typeset -A opt_args
    local -a commands
    commands=(
{listed}
    )
    _arguments -C '--state[the state folder]:folder:_directories' '--help[explain]' '--version[say which]' \\
        '1: :->command' '*:: :->words'
    case $state in
        command) _describe 'command' commands ;;
        words)
            case $words[1] in
{cases}            esac ;;
    esac
}}
if [[ "$funcstack[1]" == "_tendtui" ]]; then _tendtui "$@"; else compdef _tendtui tendtui; fi
"""


def _zsh_case(command: CommandShape) -> str:
    specs = [_quoted(spec) for option in command.options for spec in _zsh_option(option)]
    if command.name in _NAMED:
        specs.append(_quoted(f"*:value:({' '.join(_names())})"))
    for word in command.words if command.name not in _NAMED else ():
        what = f"({' '.join(word.choices)})" if word.choices else _zsh_path(word.value)
        specs.append(_quoted(f"{'*' if word.many else '1'}:{word.value.lower()}:{what}"))
    return f"                {command.name}) _arguments {' '.join(specs)} ;;\n"


def _zsh_option(option: OptionShape) -> list[str]:
    told = option.help.replace("[", "(").replace("]", ")").replace(":", " -")
    what = f"({' '.join(option.choices)})" if option.choices else _zsh_path(option.value)
    after = f":{option.value.lower()}:{what}" if option.value else ""
    return [f"{name}[{told}]{after}" for name in option.names]


def _zsh_path(value: str) -> str:
    return {"FILE": "_files", "DIR": "_directories"}.get(value, "")


def _fish(commands: Iterable[CommandShape]) -> str:
    lines = [
        "# tendtui: completion for fish",
        "complete -c tendtui -f",
        "complete -c tendtui -l state -r -a '(__fish_complete_directories)' "
        f"-d {_quoted(_('the state folder'))}",
    ]
    for command in commands:
        lines.append(
            f"complete -c tendtui -n __fish_use_subcommand -a {command.name} -d {_quoted(command.line)}"
        )
        inside = f"-n '__fish_seen_subcommand_from {command.name}'"
        lines += [f"complete -c tendtui {inside} {_fish_option(o)}" for o in command.options]
        words = _fish_words(command)
        if words:
            lines.append(f"complete -c tendtui {inside} {words}")
    return "\n".join(lines) + "\n"


def _fish_option(option: OptionShape) -> str:
    names = " ".join(f"-l {n[2:]}" if n.startswith("--") else f"-s {n[1:]}" for n in option.names)
    value = "" if not option.value else " -r"
    if option.choices:
        value = f" -x -a {_quoted(' '.join(option.choices))}"
    elif option.value == "FILE":
        value = " -r -F"
    elif option.value == "DIR":
        value = " -x -a '(__fish_complete_directories)'"
    return f"{names}{value} -d {_quoted(option.help)}"


def _fish_words(command: CommandShape) -> str:
    if command.name in _NAMED:
        return f"-a {_quoted(' '.join(_names()))}"
    for word in command.words:
        if word.choices:
            return f"-a {_quoted(' '.join(word.choices))}"
        if word.value == "FILE":
            return "-F"
    return ""


def _names() -> tuple[str, ...]:
    return (*(f"{name}=" for name in NAMES if "." not in name), "flow.", "poured.")


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "'\\''") + "'"


SHELLS: Mapping[str, Callable[[Iterable[CommandShape]], str]] = {"bash": _bash, "zsh": _zsh, "fish": _fish}
"""Shell -> what makes its script."""
