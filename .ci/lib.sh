# Functions of .ci/test; sourced by it, and of no use alone. They use its
# variable work, a folder for what the run leaves behind.

step_name='' step_started=0 passed=0 failed=0 complete=no

# step NAME closes the step before with the seconds it took and opens the next.
step() {
  close_step
  step_name=$1 step_started=$SECONDS
  printf '\n=== %s\n' "$step_name"
}

close_step() {
  [ -z "$step_name" ] || printf -- '--- %s: %d s\n' "$step_name" $((SECONDS - step_started))
}

die() {
  printf '%s\n' "$*" >&2
  exit 1
}

# count_check counts a check that is no Go test and has just passed.
count_check() { passed=$((passed + 1)); }

# finish runs however the run ends; its last line is the verdict. A run that
# stopped before the end has failed, whatever passed before.
finish() {
  local status=$?
  close_step
  rm -rf "$work"
  if [ "$complete" = yes ] && [ "$status" -eq 0 ] && [ "$failed" -eq 0 ]; then
    printf '\nall steps in %d s\n%d passed, 0 failed\n' "$SECONDS" "$passed"
    return
  fi
  [ "$failed" -gt 0 ] || failed=1
  printf '\nstopped in step "%s" after %d s\n%d passed, %d failed\n' "$step_name" "$SECONDS" "$passed" "$failed"
  [ "$status" -ne 0 ] || status=1
  exit "$status"
}

# go_tests NAME FORMAT ARGUMENT... runs go test, by way of the command in the
# array under, and adds up its tests. A test that was skipped fails the run: what
# was not checked is not known to hold. The browser's tests need six minutes where
# nothing else runs; ten, go test's own limit, would fail a slower machine.
under=()
go_tests() {
  local log=$work/$1.json format=$2 status=0
  shift 2
  ${under[@]+"${under[@]}"} go run "$GOTESTSUM" --format "$format" --jsonfile "$log" -- -timeout 40m "$@" || status=$?
  passed=$((passed + $(count_tests pass "$log")))
  failed=$((failed + $(count_tests fail "$log")))
  [ "$status" -eq 0 ] || die 'go test failed'
  local skipped
  skipped=$(count_tests skip "$log")
  if [ "$skipped" -gt 0 ]; then
    grep '"Action":"skip"' "$log" | grep '"Test":' >&2
    failed=$((failed + skipped))
    die "$skipped tests were skipped; every test must run here"
  fi
  [ "$(count_tests pass "$log")" -gt 0 ] || die 'no test ran'
}

# count_tests ACTION FILE counts the tests, subtests included, that ended so.
count_tests() {
  grep "\"Action\":\"$1\"" "$2" | grep -c '"Test":' || true
}

# fuzz_all gives every fuzz target FUZZRUNS new inputs; a count, as a time limit
# that runs out while an input is being made smaller fails the run for nothing.
# go test fuzzes one target of one package at a time; with -list it prints a package's targets and then the
# package.
fuzz_all() {
  local list word package rest runs targets=() count=0
  list=$(go test -list '^Fuzz' ./...) || die "$list"
  while read -r word package rest; do
    case $word in
    Fuzz*) targets+=("$word") ;;
    ok)
      for target in "${targets[@]}"; do
        printf '%s %s\n' "$package" "$target"
        runs=$FUZZRUNS
        # This one computes whole ladders, at some 40 a second.
        [ "$target" != FuzzNumbers ] || runs=$((FUZZRUNS / 50))
        # These write a database, and unpack workbooks.
        [ "$target" != FuzzRestore ] && [ "$target" != FuzzXLSX ] || runs=$((FUZZRUNS / 10))
        go test -run '^$' -fuzz "^$target\$" -fuzztime "${runs}x" -fuzzminimizetime 20x "$package"
        count=$((count + 1))
      done
      targets=()
      ;;
    esac
  done <<<"$list"
  [ "$count" -gt 0 ] || die 'no fuzz target found; the parsers must have them'
  passed=$((passed + count))
}
