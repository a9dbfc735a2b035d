#!/bin/sh
# Finds a browser for the browser tests, or installs Debian's `chromium` where it may.
# Ends with 0 also where there is none, after saying so loudly; with CI=true that is a failure.
set -u

find_browser() {
    for name in chromium chromium-browser google-chrome google-chrome-stable chrome microsoft-edge; do
        command -v "$name" && return 0
    done
    for path in \
        "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome" \
        "/Applications/Chromium.app/Contents/MacOS/Chromium" \
        "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge"; do
        [ -x "$path" ] && echo "$path" && return 0
    done
    return 1
}

install_browser() {
    command -v apt-get >/dev/null || return 1
    if [ "$(id -u)" = 0 ]; then
        as_root=""
    elif command -v sudo >/dev/null && sudo -n true 2>/dev/null; then
        as_root="sudo -n"
    else
        return 1
    fi
    echo "No browser found: installing Debian's chromium for the browser tests ..."
    $as_root apt-get update -qq && $as_root env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y -qq --no-install-recommends chromium >/dev/null
}

if browser=$(find_browser) || { install_browser && browser=$(find_browser); }; then
    echo "Browser tests use $browser"
    exit 0
fi

echo "************************************************************************" >&2
echo "NO BROWSER FOUND: THE BROWSER TESTS OF THE PAGES WILL NOT RUN." >&2
echo "Install Chromium or Chrome (on Debian: apt-get install chromium) and" >&2
echo "run this again; nothing else is left out." >&2
echo "************************************************************************" >&2
[ "${CI:-}" = "true" ] && exit 1
exit 0
