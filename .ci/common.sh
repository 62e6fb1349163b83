# Shared by the scripts of this folder, which source it with the checkout as the current folder.

# Prints the folder of a Node of the given major version: a plain binary, which leaves the machine's own alone.
# Several scripts of one run share the folder that CI_NODE_FOLDER names.
node_folder() {
  local folder="${CI_NODE_FOLDER:-$work/nodes}/$1" package
  package="node-linux-$(node -p process.arch)"
  if [ ! -x "$folder/node_modules/$package/bin/node" ]; then
    mkdir -p "$folder"
    timeout 120 npm install --prefix "$folder" --no-save --no-audit --no-fund --silent "$package@$1" >&2 || return 1
  fi
  echo "$folder/node_modules/$package/bin"
}

free_port() {
  node --eval "const it = require('net').createServer().listen(0, '127.0.0.1', () => { console.log(it.address().port); it.close() })"
}

# Waits at most 15 s until the server on the given port is ready.
wait_until_ready() {
  local _
  for _ in $(seq 150); do
    curl --silent --fail --max-time 2 --output "$work/ready" "http://127.0.0.1:$1/health/ready" && return
    sleep 0.1
  done
  echo "not ready after 15 s" >&2
  return 1
}

# Asks the server on the given port one real question.
ask() {
  local status
  status=$(curl --silent --show-error --max-time 10 --output "$work/answer" --write-out '%{http_code}' \
    --header 'content-type: application/json' --data @docker/smoke-request.json \
    "http://127.0.0.1:$1/v1/sub-exposure") || return
  [ "$status" = 200 ] && return
  echo "the question was answered $status:" >&2
  cat "$work/answer" >&2
  return 1
}
