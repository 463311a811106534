# Sourced by scenarios/demo.sh, scenarios/page.sh and tests/all.sh: the Debian 12 packages that each needs, and how to install what is
# missing.

needs_build=(g++ cmake ninja-build libboost-dev nlohmann-json3-dev libcli11-dev)
# The engine inside a page (scenarios/page.sh).
needs_page=(emscripten cmake ninja-build libboost-dev nlohmann-json3-dev python3)
needs_tests=(
  python3-dev pybind11-dev libgtest-dev libgmock-dev librapidcheck-dev libbenchmark-dev clang-format
  python3-numpy python3-scipy python3-matplotlib python3-jsonschema python3-pytest python3-pytest-xdist
  python3-nbformat python3-nbclient python3-ipykernel python3-ipywidgets python3-icalendar python3-distributed python3-pip
  chromium chromium-driver python3-selenium fonts-dejavu-core poppler-utils
  valgrind
)
# What watches: fuzz targets and their compiler, valgrind for the plugin host, strace and Hypothesis for the Python tests.
needs_trust=(clang-14 libclang-rt-14-dev valgrind strace python3-hypothesis)
# The peers that run.sh of tests/bench sets beside ours.
needs_bench=(libbenchmark-dev libsundials-dev)

# build_jobs: how many compilers at once: one a processor, but only as many as find 1.5 GB of free memory each (the tests' heaviest files).
build_jobs() {
  local fit; fit=$(awk '/^MemAvailable:/ { print int($2 / 1500000) }' /proc/meminfo 2>/dev/null || echo 1)
  local cpus; cpus=$(nproc)
  [ "${fit:-1}" -ge 1 ] || fit=1
  echo $((fit < cpus ? fit : cpus))
}

# need PACKAGE...: installs those that are missing. Nothing missing: no apt, no network, no time.
need() {
  local package missing=()
  if ! command -v dpkg-query >/dev/null; then
    echo "This is not Debian: please see to it yourself that you have the likes of $*." >&2
    return 0
  fi
  for package in "$@"; do
    [ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null)" = installed ] || missing+=("$package")
  done
  [ ${#missing[@]} -gt 0 ] || return 0
  local as_root=()
  if [ "$(id -u)" -ne 0 ]; then
    if ! command -v sudo >/dev/null; then
      echo "Missing: ${missing[*]}. Install them as root, with: apt-get install --no-install-recommends ${missing[*]}" >&2
      return 1
    fi
    as_root=(sudo)
  fi
  echo "Installing ${missing[*]} ..."
  local log; log=$(mktemp)
  if ! { "${as_root[@]}" apt-get update -q && "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
         apt-get install -y -q --no-install-recommends "${missing[@]}"; } >"$log" 2>&1; then
    tail -n 20 "$log" >&2
    echo "apt-get could not install them; the whole of what it said is in $log." >&2
    return 1
  fi
  rm -f "$log"
}
