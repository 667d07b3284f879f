# Starts the published program as the image and docker-compose.yml do, without a container engine: as a user who
# owns the data folder and nothing else. Sourced by .ci/run, which sets $work, $bin.

app=$work/app data=$work/data secrets=$work/secrets
pids=() postgres_pid='' base='' metrics='' marker=$work/started

# Runs a command as a user without rights; without root there is but one user.
as_nobody() {
  if [ "$(id -u)" -eq 0 ]; then exec setpriv --reuid=nobody --regid=nogroup --clear-groups -- "$@"; else exec "$@"; fi
}

publish() {
  dotnet publish src/AgeWatch.Server -c Release --no-restore -o "$app" && chmod -R a-w,a+rX "$app"
}

free_port() {
  node -e 'const s = require("net").createServer().listen(0, "127.0.0.1", () => { console.log(s.address().port); s.close(); })'
}

# start SERVICE PORT: with the environment that docker-compose.yml gives the service, its folders and addresses put here.
start() {
  local service=$1 port=$2 variables
  mapfile -t variables < <(node .ci/compose-environment.mjs "$service" "data=$data" "secrets=$secrets" "port=$port" "postgres=$work/postgres")
  [ ${#variables[@]} -gt 0 ] || return
  launch "$service" "${variables[@]}"
  waited "$service" curl -fsS -o "$work/health" "http://127.0.0.1:$port/health/ready"
}

# launch NAME NAME=value…: with this environment and no other; what follows -- are the program's arguments.
launch() {
  local name=$1 variables=()
  shift
  while [ $# -gt 0 ] && [ "$1" != -- ]; do variables+=("$1"); shift; done
  shift
  (
    cd "$data" || exit
    as_nobody env -i PATH="$PATH" DOTNET_CLI_TELEMETRY_OPTOUT=1 "${variables[@]}" dotnet "$app/AgeWatch.Server.dll" "$@"
  ) >"$work/$name.log" 2>&1 &
  pids+=($!)
}

# waited NAME COMMAND…: until the command succeeds, for a minute and as long as the server lives.
waited() {
  local name=$1
  shift
  for _ in $(seq 300); do
    "$@" 2>/dev/null && return
    kill -0 "${pids[-1]}" 2>/dev/null || break
    sleep 0.2
  done
  cat "$work/$name.log"
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

# The demo with the settings of a club that mails, so that the judges have people, parts, digests and a signature to look at.
start_demo() {
  local port
  port=$(free_port) && fresh_data && base=http://127.0.0.1:$port || return
  metrics=$(node -p 'crypto.randomBytes(32).toString("hex")')
  node -p 'crypto.generateKeyPairSync("rsa", { modulusLength: 2048, privateKeyEncoding: { type: "pkcs8", format: "pem" } }).privateKey' >"$secrets/dkim.pem" || return
  launch demo AGEWATCH_DATA="$data" AGEWATCH_URLS="$base" AGEWATCH_PUBLIC_URL=https://club.example \
    AGEWATCH_MAIL_FROM='Demo club <agewatch@club.example>' AGEWATCH_DKIM_KEY_FILE="$secrets/dkim.pem" AGEWATCH_DKIM_SELECTOR=judge \
    AGEWATCH_METRICS_KEY="$metrics" AGEWATCH_WEBHOOK_ALLOW_CIDR=127.0.0.1/32 -- --demo
  waited demo grep -q 'Ctrl-C ends it' "$work/demo.log"
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
  # One after the other: what one changes another would count.
  AGEWATCH_BASE=$base AGEWATCH_KEY=$(key) AGEWATCH_FILES=$data AGEWATCH_METRICS=$metrics AGEWATCH_DKIM=$(cat "$secrets/dkim.pem") \
    node --test --test-concurrency=1 --test-reporter=spec .ci/judges/*.mjs
}

nothing_else_written() {
  local others
  others=$(find / -xdev -newer "$marker" -user nobody -type f -not -path "$data/*" -not -path '/proc/*' 2>/dev/null)
  [ -z "$others" ] || { echo "Written outside the data folder:"; echo "$others"; return 1; }
}
