# Starts the published program as the image and docker-compose.yml do, without a container engine: as a user who
# owns the data folder and nothing else. Sourced by .ci/run, which sets $work, $bin.

app=$work/app data=$work/data secrets=$work/secrets
pids=() postgres_pid='' base='' marker=$work/started

# Runs a command as a user without rights; without root there is but one user.
as_nobody() {
  if [ "$(id -u)" -eq 0 ]; then exec setpriv --reuid=nobody --regid=nogroup --clear-groups -- "$@"; else exec "$@"; fi
}

publish() {
  dotnet publish src/AgeWatch.Server -c Release -o "$app" && chmod -R a-w,a+rX "$app"
}

free_port() {
  node -e 'const s = require("net").createServer().listen(0, "127.0.0.1", () => { console.log(s.address().port); s.close(); })'
}

# start SERVICE PORT: with the environment that docker-compose.yml gives the service, its folders and addresses put here.
start() {
  local service=$1 port=$2 variables
  mapfile -t variables < <(node .ci/compose-environment.mjs "$service" "data=$data" "secrets=$secrets" "port=$port" "postgres=$work/postgres")
  [ ${#variables[@]} -gt 0 ] || return
  (
    cd "$data" || exit
    as_nobody env -i PATH="$PATH" DOTNET_CLI_TELEMETRY_OPTOUT=1 "${variables[@]}" dotnet "$app/AgeWatch.Server.dll"
  ) >"$work/$service.log" 2>&1 &
  pids+=($!)
  for _ in $(seq 300); do
    curl -fsS -o "$work/health" "http://127.0.0.1:$port/health/ready" 2>/dev/null && return
    kill -0 "${pids[-1]}" 2>/dev/null || break
    sleep 0.2
  done
  cat "$work/$service.log"
  return 1
}

fresh_data() {
  rm -rf "$data" && mkdir -m 700 "$data" || return
  mkdir -p "$secrets" && chmod 711 "$secrets" || return
  if [ "$(id -u)" -eq 0 ]; then chown nobody:nogroup "$data"; fi
  touch "$marker"
}

start_small() {
  local port
  port=$(free_port) && fresh_data && start small "$port" && base=http://127.0.0.1:$port && cat "$work/small.log"
}

start_club() {
  local port
  fresh_data && start_postgres || return
  printf 'Host=%s;Database=agewatch;Username=agewatch' "$work/postgres" >"$secrets/agewatch-database"
  port=$(free_port) && start api "$port" && base=http://127.0.0.1:$port && start worker "$(free_port)"
}

# A cluster that goes away with this run. PostgreSQL refuses to be root, and its socket must be in reach of nobody.
start_postgres() {
  local folder=$work/postgres initdb
  initdb=$(command -v initdb || compgen -G '/usr/lib/postgresql/*/bin/initdb' | sort -V | tail -n 1)
  mkdir -p "$folder" && if [ "$(id -u)" -eq 0 ]; then chown nobody:nogroup "$folder"; fi
  (as_nobody "$initdb" -D "$folder/data" -U agewatch --auth=trust --encoding=UTF8 --no-sync) || return
  (as_nobody "$(dirname "$(readlink -f "$initdb")")/postgres" -D "$folder/data" -k "$folder" -c listen_addresses= -c fsync=off) >"$work/postgres.log" 2>&1 &
  postgres_pid=$!
  for _ in $(seq 100); do
    [ -S "$folder/.s.PGSQL.5432" ] && return
    sleep 0.1
  done
  cat "$work/postgres.log"
  return 1
}

# Asks every server to end, as a service manager does; each must do so with code 0.
stop_all() {
  local pid code=0
  for pid in "${pids[@]}"; do
    kill -TERM "$pid" 2>/dev/null
    wait "$pid" || { code=$?; echo "A server ended with code $code"; }
  done
  pids=()
  if [ -n "$postgres_pid" ]; then
    kill -INT "$postgres_pid" 2>/dev/null
    wait "$postgres_pid"
    postgres_pid=''
  fi
  return $code
}

key() { cat "$data/first-officer-key.txt"; }

lint_document() {
  curl -fsS "$base/openapi/v1.json" -o "$work/openapi.json" &&
    "$bin/redocly" lint --config .ci/redocly.yaml --max-problems 50 "$work/openapi.json" &&
    "$bin/validate-api" "$work/openapi.json"
}

# The examples in reading order, as one reader would send them. They must lie under the current folder.
tour() {
  (
    cd http-examples || exit
    "../$bin/httpyac" send ./*.http --all --json --output none --var "host=$base" --var "key=$(key)" >"$work/tour.json"
  )
  node .ci/tour-report.mjs "$work/tour.json"
}

judges() {
  AGEWATCH_BASE=$base AGEWATCH_KEY=$(key) AGEWATCH_FILES=$data node --test --test-reporter=spec .ci/judges/*.mjs
}

nothing_else_written() {
  local others
  others=$(find / -xdev -newer "$marker" -user nobody -type f -not -path "$data/*" -not -path '/proc/*' 2>/dev/null)
  [ -z "$others" ] || { echo "Written outside the data folder:"; echo "$others"; return 1; }
}
