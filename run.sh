#!/usr/bin/env bash
# Installs what is missing, builds when the sources have changed, and runs GuildStash with all words passed on.
# Everything but the program's own output goes to standard error, so that `run.sh token` prints a token alone.
set -euo pipefail

top=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
# shellcheck source=deploy/common.sh
. "$top/deploy/common.sh"

usage() {
  cat <<'TEXT'
Usage: ./run.sh [--demo] [--port N] [--data DIR] [--database CONNECTION] [--public-url URL] [--bind ADDR]
                [--backups DIR]
       ./run.sh seed-demo | check                [--data DIR | --database CONNECTION]
       ./run.sh token --email E --name N [--scope read|write]   [--data DIR | --database CONNECTION]
       ./run.sh new-password --email E [--public-url U] [--port N]   [--data DIR | --database CONNECTION]
       ./run.sh backup FILE | restore FILE | export FILE   [--data DIR | --database CONNECTION]
       ./run.sh build

Without a word it serves the site on http://localhost:5080 with a private PostgreSQL server in ./data.
  --demo         load the invented guild into an empty database first
  --port N       port to listen on (5080)
  --data DIR     data folder (./data beside this script)
  --database C   connection string of a PostgreSQL server to use instead of the private one
  --public-url U address under which phones reach the site; QR codes point to it
  --bind ADDR    address to listen on: localhost, * for all, or an IP address (localhost)
  --backups DIR  folder of the nightly back-ups (backups in the data folder; none with --database)

  seed-demo      load the invented guild into an empty database and end
  token          make an API token for a person and print it alone; with --scope read it changes nothing
  new-password   make a link by which a person chooses a new password and print it alone; it holds 24 hours
  check          audit the books
  backup FILE    write the whole guild into one archive while people go on working
  restore FILE   load an archive into an empty data folder or a new database
  export FILE    write everything into open files (JSON lines and CSV), so that a guild can leave
  build          only build, and print the folder of the built program
TEXT
}

fingerprint() {
  (
    cd "$top"
    sources=()
    for path in src seed-demo docs/guide docs/pictures docs/sources.md docs/adr/0007-estimates.md Directory.Build.props Directory.Build.targets Directory.Packages.props global.json nuget.config; do
      [ ! -e "$path" ] || sources+=("$path")
    done
    {
      "$dotnet" --version
      uname -m
      find "${sources[@]}" -type f -not -path '*/bin/*' -not -path '*/obj/*' -print0 | LC_ALL=C sort -z | xargs -0 sha256sum
    } | sha256sum | cut -c 1-16
  )
}

# Each build has a folder named after its sources: one that runs is never changed under its feet.
build() {
  local stamp
  stamp=$(fingerprint)
  app=$top/artifacts/app/$stamp
  [ -e "$app/.complete" ] && return
  mkdir -p "$top/artifacts/app" 2>/dev/null || give_up "The folder $top cannot be written by user $(id -un): it is needed for the build."
  # Descriptor 9 holds the lock; the compiler's helpers must not inherit it, since some of them live on.
  exec 9>"$top/artifacts/build.lock"
  flock 9
  if [ ! -e "$app/.complete" ]; then
    say "Building GuildStash."
    rm -rf "$app"
    # Without a named runtime, what test.sh has compiled is published as it is.
    (cd "$top" && "$dotnet" publish src/GuildStash.Web -c Release --self-contained false \
      -p:RunAnalyzersDuringBuild=false -o "$app" -nodeReuse:false -p:UseSharedCompilation="${UseSharedCompilation:-false}" --nologo -v quiet </dev/null >&2 9>&-) \
      || give_up "GuildStash could not be built (the compiler's messages are above)."
    touch "$app/.complete"
    # The two newest stay: the one before may still be running.
    find "$top/artifacts/app" -mindepth 1 -maxdepth 1 -type d -printf '%T@ %p\n' | sort -rn | tail -n +3 | cut -d' ' -f2- | xargs -r rm -rf
  fi
  exec 9>&-
}

for word in "$@"; do
  case $word in
    -h | --help | '-?') usage; exit 0 ;;
  esac
done

own_database=${GUILDSTASH_DATABASE:-}
for word in "$@"; do
  case $word in
    --database | --database=*) own_database=given ;;
  esac
done

dotnet=$(find_dotnet)
[ "${1:-}" = build ] || [ -n "$own_database" ] || install_postgres
build
if [ "${1:-}" = build ]; then
  printf '%s\n' "$app"
  exit 0
fi

# As root the database server runs as another user, who can't enter a folder such as /root.
default_data=$top/data
if [ "$(id -u)" -eq 0 ] && ! enterable_by_others "$top"; then
  default_data=/var/lib/guildstash
  [ -n "${GUILDSTASH_DATA:-}" ] || case " $* " in
    *' --data '* | *' --data='*) ;;
    *) say "Other users can't enter $top, so the data folder is $default_data." ;;
  esac
fi
export GUILDSTASH_DATA=${GUILDSTASH_DATA:-$default_data}
export DOTNET_ENVIRONMENT=${DOTNET_ENVIRONMENT:-Production} ASPNETCORE_ENVIRONMENT=${ASPNETCORE_ENVIRONMENT:-Production}
exec "$dotnet" "$app/GuildStash.Web.dll" "$@"
