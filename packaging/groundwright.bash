# SPDX-License-Identifier: Apache-2.0
# Completion for bash. Commands and options are asked of the program itself, so they are always its own.
_groundwright()
{
    local program=${COMP_WORDS[0]} word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} words
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ] || [ "${COMP_WORDS[1]}" = help ]; then
        words=$("$program" --help 2>/dev/null | sed -n '/^Commands/,/^$/s/^  \([a-z][a-z-]*\) .*/\1/p')
        mapfile -t COMPREPLY < <(compgen -W "$words help --help --version" -- "$word")
        return
    fi
    case $before in
        --units) words="metric imperial" ;;
        --output | --store | --open)
            compopt -o filenames 2>/dev/null
            mapfile -t COMPREPLY < <(compgen -f -- "$word")
            return ;;
        --port) return ;;
        list) words=$("$program" help list 2>/dev/null | sed -n '1s/^[^:]*: list built-in //p' | sed 's/,/ /g; s/ or / /') ;;
        *) words= ;;
    esac
    case $word in
        -*) words=$("$program" help "${COMP_WORDS[1]}" 2>/dev/null | sed -n 's/^  \(--[a-z-]*\).*/\1/p') ;;
    esac
    if [ -n "$words" ]; then
        mapfile -t COMPREPLY < <(compgen -W "$words" -- "$word")
    else
        compopt -o filenames 2>/dev/null
        mapfile -t COMPREPLY < <(compgen -f -X '!*.json' -- "$word"; compgen -d -- "$word")
    fi
}
complete -F _groundwright groundwright
