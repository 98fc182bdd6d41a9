# Completes the command line of syncbench in zsh: source this file after compinit. What is offered is said once, in completion.bash.
autoload -U +X bashcompinit && bashcompinit
source "${${(%):-%x}:A:h}/completion.bash"
