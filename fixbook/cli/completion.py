"""`fixbook completion SHELL`: the script that lets a shell complete command lines of fixbook.

The script asks this module at each press of the key, so it never grows old: commands, options,
write-ups and calculators are those of the open book.
"""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.cli.session import Session
from fixbook.cli.words import add_book, new_parser, parse

ASK = "words"
"""`fixbook completion words SHELL WORD…` gives the candidates for the last word."""
EXAMPLES = """\
examples:
  fixbook completion bash > ~/.local/share/bash-completion/completions/fixbook
  fixbook completion zsh > ~/.zfunc/_fixbook      (a folder of your fpath)
  fixbook completion fish > ~/.config/fish/completions/fixbook.fish
"""
BASH = """\
# fixbook: completion for bash. Made by 'fixbook completion bash'.
_fixbook() {
  local line
  COMPREPLY=()
  while IFS= read -r line; do
    if [[ $line == __files__ ]]; then
      compopt -o default
      return
    fi
    [[ $line == *= ]] && compopt -o nospace
    COMPREPLY+=("$line")
  done < <("${COMP_WORDS[0]}" completion words bash "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
}
complete -F _fixbook fixbook
"""
ZSH = """\
#compdef fixbook
# fixbook: completion for zsh. Made by 'fixbook completion zsh'.
_fixbook() {
  local -a found open whole
  found=("${(@f)$("${words[1]}" completion words zsh "${(@)words[2,CURRENT]}" 2>/dev/null)}")
  found=("${(@)found:#}")
  if [[ ${found[1]} == __files__ ]]; then
    _files
    return
  fi
  open=("${(@M)found:#*=(:*|)}")
  whole=("${(@)found:#*=(:*|)}")
  (( ${#open} )) && _describe fixbook open -S ''
  (( ${#whole} )) && _describe fixbook whole
}
if [[ ${zsh_eval_context[-1]} == loadautofunc ]]; then
  _fixbook "$@"
else
  compdef _fixbook fixbook
fi
"""
FISH = """\
# fixbook: completion for fish. Made by 'fixbook completion fish'.
function __fixbook_words
  set -l typed (commandline -opc)
  set -l found (fixbook completion words fish $typed[2..-1] (commandline -ct) 2>/dev/null)
  if test "$found[1]" = __files__
    __fish_complete_path (commandline -ct)
  else
    printf '%s\\n' $found
  end
end
complete -c fixbook -f -a '(__fixbook_words)'
"""
SCRIPTS = {"bash": BASH, "zsh": ZSH, "fish": FISH}


def run(words: Sequence[str], session: Session) -> int:
    """Print a shell's script; with `words`, the candidates for the last of the words after it."""
    if len(words) > 1 and words[0] == ASK and words[1] in SCRIPTS:
        return _answer(words[1], words[2:], session)
    summary = "Print the script that lets a shell complete command lines of fixbook."
    parser = new_parser("completion", summary, EXAMPLES)
    parser.add_argument("shell", choices=tuple(SCRIPTS), help="bash, zsh or fish")
    add_book(parser)
    given = parse(parser, words)
    if given.json:
        session.write_json({"shell": given.shell, "script": SCRIPTS[given.shell]})
    else:
        print(SCRIPTS[given.shell], end="", file=session.out)
    return 0


def _answer(shell: str, typed: Sequence[str], session: Session) -> int:
    from fixbook.cli.completing import complete
    from fixbook.render.clean import clean_line

    for word in complete(session, typed):
        about = clean_line(word.about)
        if shell == "bash" or not about:
            print(word.text, file=session.out)
        elif shell == "zsh":
            print(f"{word.text.replace(':', chr(92) + ':')}:{about}", file=session.out)
        else:
            print(f"{word.text}\t{about}", file=session.out)
    return 0
