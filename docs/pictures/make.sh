#!/usr/bin/env bash
# Starts the demo guild on a database of its own and takes the pictures of the main screens into this folder.
# Needs what ./test.sh needs: the .NET SDK, PostgreSQL and Chromium.
set -euo pipefail

folder=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
top=$(cd "$folder/../.." && pwd)
# shellcheck source=deploy/common.sh
. "$top/deploy/common.sh"

cd "$top"
GUILDSTASH_TEST_APP=$(./run.sh build)
export GUILDSTASH_TEST_APP GUILDSTASH_PICTURES=$folder
"$(find_dotnet)" build tests/GuildStash.Browser.Tests --nologo -v quiet
tests/GuildStash.Browser.Tests/bin/Debug/net10.0/GuildStash.Browser.Tests -noLogo -noColor -explicit only -class '*Pictures'
ls -l "$folder"/*.png
