# Sourced by run.sh and test.sh: finding and installing what they need. Expects $top, the folder of the clone.

oldest_postgres=15

say() { printf '%s\n' "$*" >&2; }
give_up() { say "$*"; exit 2; }

find_dotnet() {
  local candidate
  for candidate in dotnet "${DOTNET_ROOT:-/nonexistent}/dotnet" "${HOME:-/nonexistent}/.dotnet/dotnet"; do
    if (cd "$top" && "$candidate" --list-sdks 2>/dev/null) | grep -q '^10\.'; then
      command -v "$candidate"
      return
    fi
  done
  give_up "GuildStash needs the .NET SDK 10, which was not found: install the package dotnet-sdk-10.0 from Microsoft's package feed, or see https://dotnet.microsoft.com/download/dotnet/10.0"
}

# The same places as ServerPrograms in src/GuildStash.Data/Server.
has_postgres() {
  local folder version
  local -a folders
  IFS=: read -r -a folders <<<"$PATH"
  for folder in "${folders[@]}" /usr/lib/postgresql/*/bin /opt/postgresql/*/bin /usr/pgsql-*/bin /usr/libexec/postgresql* /usr/local/opt/postgresql@*/bin /usr/local/pgsql/bin; do
    [ -x "$folder/postgres" ] || continue
    version=$("$folder/postgres" --version 2>/dev/null | sed -n 's/.*PostgreSQL) \([0-9]*\).*/\1/p')
    [ "${version:-0}" -ge "$oldest_postgres" ] && return 0
  done
  return 1
}

# apt_install WHAT REMEDY PACKAGE...: installs packages, or ends with one line that names what is missing and the remedy.
apt_install() {
  local what=$1 remedy=$2
  shift 2
  command -v apt-get >/dev/null || give_up "$what is not installed, and there is no apt-get here: $remedy."
  local -a as_root=()
  if [ "$(id -u)" -ne 0 ]; then
    { command -v sudo >/dev/null && sudo -n true 2>/dev/null; } || give_up "$what is not installed, and this user may not install it: $remedy."
    as_root=(sudo -n)
  fi
  say "Installing $what from the system's packages."
  # Written before PostgreSQL comes, so that its package makes and starts no cluster of its own.
  "${as_root[@]}" sh -c '
    conf=/etc/postgresql-common/createcluster.conf
    mkdir -p /etc/postgresql-common
    grep -qs "^[[:space:]]*create_main_cluster" "$conf" || echo "create_main_cluster = false" >>"$conf"' >&2
  local -a install=("${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -y -q --no-install-recommends
    -o Dpkg::Options::=--force-confold install "$@")
  "${install[@]}" >&2 </dev/null || {
    "${as_root[@]}" apt-get -q update >&2 </dev/null && "${install[@]}" >&2 </dev/null
  } || give_up "$what could not be installed by apt-get (its messages are above): $remedy."
}

# Whether every folder down to this one lets other users pass.
enterable_by_others() {
  local folder=$1
  while [ "$folder" != / ]; do
    case $(stat -c %A "$folder") in *x | *t) ;; *) return 1 ;; esac
    folder=$(dirname "$folder")
  done
}

install_postgres() {
  has_postgres || apt_install "PostgreSQL $oldest_postgres or newer" \
    "install it (Debian: apt-get install postgresql), or name a server with --database CONNECTION" postgresql
}
