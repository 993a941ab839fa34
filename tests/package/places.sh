# What every script of packaging agrees on: places, version, time, targets. Sourced, never run.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
here=$PWD
packaging=$here/tests/package
out=$here/target/package
# The linker takes no root of another system, and mingw's tools no library, from a path with blanks.
case $here in *[[:space:]]*) echo "packages cannot be built below a folder whose path has blanks: $here" >&2; exit 1 ;; esac
mkdir -p "$out"
export CARGO=${CARGO:-cargo}
version=$(sed -n 's/^version = "\(.*\)"/\1/p' Cargo.toml | head -1)
# The one time that stands in a package: the commit's, so that two builds of it give the same bytes.
SOURCE_DATE_EPOCH=${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct)}
export SOURCE_DATE_EPOCH TZ=UTC LC_ALL=C.UTF-8
linux=x86_64-unknown-linux-gnu
windows=x86_64-pc-windows-gnu
deb=$out/cuffnote_${version}_amd64.deb
tarball=$out/cuffnote-$version-x64-linux.tar.gz
zip=$out/cuffnote-$version-x64.zip
msi=$out/cuffnote-$version-x64.msi
step() { printf '\n== %s\n' "$1"; }
as_root() { if [ "$(id -u)" -eq 0 ]; then "$@"; else sudo "$@"; fi; }

# install PACKAGE... : what is not there yet.
install() {
  local missing=() package
  for package in "$@"; do dpkg -s "$package" >/dev/null 2>&1 || missing+=("$package"); done
  if [ ${#missing[@]} -gt 0 ]; then
    export DEBIAN_FRONTEND=noninteractive
    as_root apt-get update -qq
    as_root apt-get install -y -qq "${missing[@]}" >/dev/null
  fi
}

# same_times FOLDER : every file in it has the commit's time.
same_times() { find "$1" -exec touch --no-dereference --date="@$SOURCE_DATE_EPOCH" {} +; }

# same_order : what makes macros write in the same order each time; `rustc` says where it is needed.
same_order() {
  gcc -shared -fPIC -O2 -o "$out/same_order.so" "$packaging/same_order.c"
  export CUFFNOTE_SAME_ORDER=$out/same_order.so
}

# built TARGET : the folder of the program that was built for it.
built() { echo "$out/build/$1/dist"; }
