# Completes the command line of syncbench in fish: source this file. What is offered is said once, in completion.bash.
set -g __syncbench_completion (path dirname (path resolve (status filename)))/completion.bash
function __syncbench_offers
    set -l words (commandline --tokenize --cut-at-cursor --current-process) (commandline --current-token --cut-at-cursor)
    bash -c 'source "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _syncbench; printf "%s\n" "${COMPREPLY[@]}"' bash $__syncbench_completion $words
end
complete --command syncbench --no-files --arguments '(__syncbench_offers)'
