#!/usr/bin/env bash
# Run once by the postgres image on an empty volume: the two roles, as the embedded server makes them.
set -euo pipefail

psql -v ON_ERROR_STOP=1 --username postgres --dbname postgres \
  -v owner_password="$OWNER_PASSWORD" -v app_password="$APP_PASSWORD" <<'SQL'
CREATE ROLE guildstash_owner LOGIN CREATEDB PASSWORD :'owner_password';
CREATE ROLE guildstash_app LOGIN PASSWORD :'app_password';
ALTER DATABASE guildstash OWNER TO guildstash_owner;
REVOKE ALL ON DATABASE guildstash FROM PUBLIC;
GRANT CONNECT ON DATABASE guildstash TO guildstash_app;
SQL
