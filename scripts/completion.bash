# Completes the command line of syncbench in bash: source this file. completion.zsh and completion.fish ask it too.
_syncbench() {
  local word="${COMP_WORDS[COMP_CWORD]}" before="${COMP_WORDS[COMP_CWORD - 1]}" files=() words=()
  case "$before" in
    --out | -o) files=(-d) ;;
    --settings | -s) files=(-f) ;;
    --hash) words=(xxh128 xxh3 xxh64 md5 sha1 c4) ;;
    *)
      case "$COMP_CWORD:${COMP_WORDS[1]}" in
        1:*) words=(run verify probe settings watch --help) ;;
        *:run) files=(-d) words=(--out --settings --json --help) ;;
        *:verify) files=(-d) words=(--out --in-dump --hash --json --help) ;;
        *:probe) files=(-f) words=(--json --help) ;;
        *:settings) files=(-f) words=(--help) ;;
        *:watch) words=(--settings --help) ;;
      esac
      ;;
  esac
  [[ "$word" != -* ]] || files=()
  [[ "$word" == -* || ${#files[@]} -eq 0 ]] || words=()
  # A name may hold blanks: one a line, and what is completed is quoted by the shell.
  local IFS=$'\n'
  COMPREPLY=($(compgen "${files[@]}" -W "${words[*]}" -- "$word"))
}
complete -o filenames -F _syncbench syncbench
