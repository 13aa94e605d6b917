"""``benchcalc completions SHELL``: what a shell needs to complete commands and options.

Every word comes from the parsers themselves, so that nothing can be completed that is not there.
"""

import argparse
from collections.abc import Callable, Iterator, Mapping
from shlex import quote
from typing import Any, NamedTuple

from benchcalc.commands.manual import topics
from benchcalc.commands.parser import DONE, parser_of

Verb = Callable[[list[str]], int]


class Word(NamedTuple):
    """An option, or the words in a place: what it is called, said and followed by."""

    names: tuple[str, ...]
    says: str
    takes: bool
    choices: tuple[str, ...]


class Parsed(Exception):
    """Raised in a verb once its parser is whole, and carries it."""

    def __init__(self, parser: argparse.ArgumentParser) -> None:
        super().__init__(parser.prog)
        self.parser = parser


def run(words: list[str], verbs: Mapping[str, Verb], abouts: Mapping[str, str]) -> int:
    """Print the script of a shell; the panel is the verb of no name."""
    parser = parser_of("completions", "Print what makes a shell complete commands and options.")
    parser.add_argument("shell", choices=tuple(SHELLS), metavar="SHELL", help=", ".join(SHELLS))
    given = parser.parse_args(words)
    told = {name: words_of(verb) for name, verb in verbs.items()}
    print("\n".join(SHELLS[given.shell](told, abouts)))
    return DONE


def words_of(verb: Verb) -> list[Word]:
    """The options of a verb's own parser, which is made as for any call and then not used."""

    def instead(parser: argparse.ArgumentParser, *_: Any, **__: Any) -> None:
        raise Parsed(parser)

    usual = argparse.ArgumentParser.parse_args
    argparse.ArgumentParser.parse_args = instead  # type: ignore[assignment, method-assign]
    try:
        verb([])
    except Parsed as parsed:
        return [_word(action) for action in parsed.parser._actions]
    finally:
        argparse.ArgumentParser.parse_args = usual  # type: ignore[method-assign]
    raise AssertionError(f"{verb} has no parser")


def _word(action: argparse.Action) -> Word:
    choices = tuple(map(str, action.choices or ()))
    if action.dest == "topic":
        choices = tuple(topics())
    says = (action.help or "").replace("%%", "%")
    return Word(tuple(action.option_strings), says, action.nargs != 0, choices)


def _bash(told: dict[str, list[Word]], _: Mapping[str, str]) -> Iterator[str]:
    yield """# bash: eval "$(benchcalc completions bash)"
_benchcalc() {
    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} verb="" words
    ((COMP_CWORD < 2)) || [[ ${COMP_WORDS[1]} == -* ]] || verb=${COMP_WORDS[1]}
    case "$verb $before" in"""
    for name, words in told.items():
        for word in words:
            for option in word.names if word.takes else ():
                yield f'    "{name} {option}") words={quote(" ".join(word.choices))} ;;'
    yield '    *) case "$verb" in'
    for name, words in told.items():
        if name:
            yield f"        {name}) words={quote(' '.join(_all(words)))} ;;"
    first = (*filter(None, told), *_all(told[""]))
    yield f"""        *) words={quote(" ".join(first))} ;;
        esac ;;
    esac
    mapfile -t COMPREPLY < <(compgen -W "$words" -- "$word")
    [[ $word == -* ]] ||  # what is no option may be a file
        mapfile -t -O ${{#COMPREPLY[@]}} COMPREPLY < <(compgen -f -- "$word")
}}
complete -o filenames -F _benchcalc benchcalc"""


def _all(words: list[Word]) -> Iterator[str]:
    """Every option of a verb, and the words that may stand in its places."""
    for word in words:
        yield from word.names or word.choices


def _zsh(told: dict[str, list[Word]], abouts: Mapping[str, str]) -> Iterator[str]:
    yield """#compdef benchcalc
# zsh: source <(benchcalc completions zsh)
_benchcalc() {
    local -a verbs
    verbs=("""
    for name, says in abouts.items():
        yield f"        {quote(f'{name}:{says}')}"
    yield """    )
    if ((CURRENT == 2)) && [[ $words[2] != -* ]]; then
        _describe -t commands command verbs
        _files
        return
    fi
    case $words[2] in"""
    for name, words in told.items():
        if name:
            yield f"    {name}) shift words; ((CURRENT--)); _arguments {_zsh_specs(words)} ;;"
    yield f"""    *) _arguments {_zsh_specs(told[""])} ;;
    esac
}}
if [[ $funcstack[1] == _benchcalc ]]; then
    _benchcalc "$@"
else
    compdef _benchcalc benchcalc
fi"""


def _zsh_specs(words: list[Word]) -> str:
    specs = []
    for word in words:
        values = f"({' '.join(word.choices)})" if word.choices else "_files"
        for option in word.names:
            says = word.says.replace("[", "(").replace("]", ")").replace(":", "\\:")
            specs.append(f"*{option}[{says}]" + (f":value:{values}" if word.takes else ""))
        if not word.names:
            specs.append(f"*:word:{values}")
    return " ".join(map(quote, specs))


def _fish(told: dict[str, list[Word]], abouts: Mapping[str, str]) -> Iterator[str]:
    yield "# fish: benchcalc completions fish | source"
    for name, says in abouts.items():
        yield f"complete -c benchcalc -n __fish_use_subcommand -a {name} -d {_in_fish(says)}"
    for name, words in told.items():
        when = f'"__fish_seen_subcommand_from {name}"' if name else "__fish_use_subcommand"
        for word in words:
            line = f"complete -c benchcalc -n {when}"
            values = f" -a {_in_fish(' '.join(word.choices))}" if word.choices else ""
            for option in word.names:
                kind = f"-l {option[2:]}" if option.startswith("--") else f"-s {option[1:]}"
                takes = " -r" if word.takes else ""
                yield f"{line} {kind}{takes}{values} -d {_in_fish(word.says)}"
            if not word.names and values:
                yield f"{line}{values}"


def _in_fish(text: str) -> str:
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"


SHELLS: dict[str, Callable[[dict[str, list[Word]], Mapping[str, str]], Iterator[str]]] = {
    "bash": _bash,
    "zsh": _zsh,
    "fish": _fish,
}
