#!/usr/bin/env bash
# Installs what the tests need, builds with warnings as errors, checks the format and runs every test program.
# The last line is "N passed, N failed"; the exit code is 0 only when nothing failed.
#   ./test.sh [--only NAME] [--long]
#     --only NAME   NAME is a project's name or a part of it, for instance Domain
#     --long        the tests that wear the program down go on for their full length, which takes about an hour more
set -euo pipefail

top=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
# shellcheck source=deploy/common.sh
. "$top/deploy/common.sh"

only='' patience=1800
while [ $# -gt 0 ]; do
  case $1 in
    --only) only=${2:?--only needs a part of a project\'s name, for instance Domain}; shift ;;
    --long) export GUILDSTASH_TEST_LONG=1; patience=14400 ;;
    -h | --help) sed -n '2,6s/^# *//p' "${BASH_SOURCE[0]}"; exit 0 ;;
    *) give_up "Unknown word '$1': allowed are --only NAME and --long." ;;
  esac
  shift
done

cd "$top"
results=$top/artifacts/test-results
rm -rf "$results"
mkdir -p "$results"
export DOTNET_CLI_TELEMETRY_OPTOUT=1 DOTNET_NOLOGO=1 MSBUILDDISABLENODEREUSE=1
# One compiler of our own for all projects, which need not watch itself in order to run faster later: the build takes less than half of the time.
export UseSharedCompilation=true SharedCompilationId=guildstash-tests-$$ DOTNET_TieredPGO=0
# What the runtime compiles is written where it will run: doing so in two places guards a server, and takes a fifth of the processor time of each start.
export DOTNET_EnableWriteXorExecute=0
# Memory that was given back is kept for the next question: a page touched for the first time is dear on a virtual machine.
export MALLOC_TRIM_THRESHOLD_=268435456 MALLOC_MMAP_THRESHOLD_=67108864
# A failure tells its words whole.
export XUNIT_PRINT_MAX_STRING_LENGTH=2000

passed=0 failed=0 skipped=0
finish() {
  local line="$passed passed, $failed failed"
  [ "$skipped" -eq 0 ] || line="$line, $skipped skipped"
  printf '%s\n' "$line"
  [ "$failed" -eq 0 ] && exit 0
  exit 1
}

# step NAME COMMAND...: a step whose output is shown only when it fails; a failure counts as one.
step() {
  local name=$1 log=$results/$1.log
  shift
  if ! "$@" >"$log" 2>&1 </dev/null; then
    tail -n 100 "$log"
    echo "FAILED: $name ($log)"
    failed=$((failed + 1))
    return 1
  fi
}

projects=()
for project in tests/*.Tests; do
  case $project in *"$only"*) projects+=("$(basename "$project")") ;; esac
done
[ ${#projects[@]} -gt 0 ] || give_up "No test project's name has '$only' in it."

dotnet=$(find_dotnet)
compiler=$(dirname "$(readlink -f "$(command -v "$dotnet")")")/sdk/$("$dotnet" --version)/Roslyn/bincore/VBCSCompiler.dll
end_compiler() { [ ! -e "$compiler" ] || "$dotnet" "$compiler" -shutdown "-pipename:$SharedCompilationId" >/dev/null 2>&1 || true; }
trap end_compiler EXIT
if [ -z "${GUILDSTASH_TEST_DATABASE:-}" ] && ! has_postgres; then
  # With a container engine the tests can do without a server program of their own.
  docker info >/dev/null 2>&1 || install_postgres
fi
case " ${projects[*]} " in
  *Browser*)
    # Chromium without a window is enough and lighter; the whole one does as well where that can't be had.
    command -v chromium-headless-shell >/dev/null || (apt_install Chromium "" chromium-headless-shell fonts-noto-core) >/dev/null 2>&1 ||
      command -v chromium >/dev/null || apt_install Chromium "install it (Debian: apt-get install chromium)" chromium fonts-noto-core
    ;;
esac

case " ${projects[*]} " in
  *Printing* | *Browser*) command -v pdftoppm >/dev/null || apt_install "pdftoppm" "install it (Debian: apt-get install poppler-utils)" poppler-utils ;;
esac

count_of() { grep -o " $1=\"[0-9]*\"" "$2" | head -n 1 | tr -dc 0-9; }

# run_program NAME: runs a test program and leaves "passed failed skipped" in NAME.count and what is to be shown in NAME.shown.
run_program() {
  local name=$1 crashed='' of_passed=0 of_failed=0 of_skipped=0
  local report=$results/$name.xml log=$results/$name.log jit=()
  until [ -e "$results/$name.built" ]; do sleep 0.2; done
  # Most of what these programs call they call a few times: making it fast would take longer than it spares (see docs/performance.md).
  case $name in *Web* | *Browser* | *Data*) jit=(DOTNET_JITMinOpts=1) ;; esac
  {
    env "${jit[@]}" timeout --kill-after=30 "$patience" "tests/$name/bin/Release/net10.0/$name" \
      -noLogo -noColor -noAutoReporters -longRunning 120 -result-xml "$report" >"$log" 2>&1 </dev/null || crashed="exit code $?"
    if [ ! -s "$report" ]; then
      tail -n 60 "$log"
      echo "FAILED: $name wrote no result ($crashed)"
      of_failed=1
    else
      of_passed=$(count_of passed "$report") of_skipped=$(count_of skipped "$report")
      of_failed=$(($(count_of failed "$report") + $(count_of errors "$report")))
      if [ $((of_passed + of_failed)) -eq 0 ]; then
        echo "FAILED: $name ran no test"
        of_failed=1
      elif [ -n "$crashed" ] && [ "$of_failed" -eq 0 ]; then
        echo "FAILED: $name ended with $crashed after its tests"
        of_failed=1
      fi
      [ "$of_failed" -eq 0 ] || grep -v -E '^ *(Discover|Starting|Finished)' "$log" || true
      echo "$name: $of_passed passed, $of_failed failed, $(grep -o ' time="[0-9.]*"' "$report" | head -n 1 | tr -dc 0-9.) s"
    fi
  } >"$results/$name.shown"
  echo "$of_passed $of_failed $of_skipped" >"$results/$name.count"
}

run_programs() { for each in "$@"; do run_program "$each"; done; }

# Web's and then the browser's program run one after the other, since pages answer too late beside another program of their kind. What starts
# servers or searches against a clock runs beside Web's; what reckons and waits for nobody takes the time that all of them leave (nice).
in_turn=() beside=() while_building=() in_idle_time=()
for name in "${projects[@]}"; do
  case $name in
    *Browser*) in_turn+=("$name") ;;
    *Web*) in_turn=("$name" "${in_turn[@]}") ;;
    *Data* | *Planning*) beside+=("$name") ;;
    *Printing*) while_building+=("$name") ;;
    *) in_idle_time+=("$name") ;;
  esac
done
# What is still running ends with this script, from the leaves on.
end_tree() {
  local child
  for child in $(cat "/proc/$1/task/"*/children 2>/dev/null); do end_tree "$child"; done
  kill "$1" 2>/dev/null || true
}
asides=()
trap 'for aside in "${asides[@]}"; do end_tree "$aside"; done; end_compiler' EXIT
trap 'exit 130' INT TERM
check_format() { [ -n "$only" ] || step format "$dotnet" format whitespace . --folder --verify-no-changes --exclude artifacts '**/obj/**' '**/bin/**' >"$results/format.shown" || true; }
(
  renice -n 10 -p "$BASHPID" >/dev/null
  run_programs "${while_building[@]}"
  until [ -e "$results/begun" ]; do sleep 0.2; done
  run_programs "${in_idle_time[@]}"
  check_format
) &
asides+=($!)

# The demo guild is made once: Web's tests leave it to the browser's.
export GUILDSTASH_TEST_DEMO=$results/demo-guild.zip

# Each program is told of as soon as it is built.
export GUILDSTASH_BUILT=$results
if [ -n "$only" ]; then
  for name in "${projects[@]}"; do
    step "build-$name" "$dotnet" build "tests/$name" -c Release --nologo -v quiet || finish
  done
else
  # As the program is published, so that it is compiled once.
  step build "$dotnet" build GuildStash.sln -c Release --nologo -v quiet || finish
fi

if [ ${#in_turn[@]} -gt 0 ]; then
  # Package assets such as style sheets are only complete in a published app.
  step publish ./run.sh build || finish
  GUILDSTASH_TEST_APP=$(./run.sh build 2>/dev/null)
  export GUILDSTASH_TEST_APP
fi
end_compiler
(
  # Also where this ends before its time: others wait for the sign.
  trap 'touch "$results/begun"' EXIT
  run_programs "${beside[@]}"
) &
asides+=($!)
for name in "${in_turn[@]}"; do
  case $name in *Browser*) wait "${asides[1]}" ;; esac
  run_program "$name"
done
wait "${asides[@]}"
asides=()

if [ -s "$results/format.shown" ]; then
  cat "$results/format.shown"
  failed=$((failed + 1))
fi
for name in "${projects[@]}"; do
  cat "$results/$name.shown"
  read -r of_passed of_failed of_skipped <"$results/$name.count"
  passed=$((passed + of_passed)) failed=$((failed + of_failed)) skipped=$((skipped + of_skipped))
done
finish
