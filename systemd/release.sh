# Releases: gathered, sealed with SHA-256 sums and a signature, and checked. Sourced by install.
# shellcheck shell=bash disable=SC2154
#
# A release is a folder, or a .tar of one: Debian's packages, wheels, and this folder; SHA256SUMS
# names every file in it; SHA256SUMS.sig and release.pub are there when it is signed. A bench that
# has the SHA-256 fingerprint of a public key in /etc/benchcalc/release.fingerprint takes none that
# the key has not signed.

gather() { # RELEASE [KEY]
    local to=$1 key=$2 into=$1 maker
    [[ $to != *.tar ]] || into=$(mktemp -d)
    mkdir -p "$into/partial"
    chown _apt "$into" "$into/partial" 2>/dev/null || true
    rm -f "$into"/*.whl
    apt-get update --quiet=2
    # As if nothing were installed here: the other machine may lack what this one has.
    apt-get install --yes --quiet=2 --no-install-recommends --download-only \
        -o Dir::State::status=/dev/null -o Dir::Cache::archives="$into" "${packages[@]}" >/dev/null
    rm -rf "$into/partial" "$into/lock"
    chown root "$into"
    maker=$(mktemp -d)
    make_wheel "$maker" "$into"
    "$maker/bin/python" -I -m pip download --quiet --no-input --require-hashes --dest "$into" \
        -r "$here/requirements.txt"
    "$maker/bin/python" -I -m pip install --quiet --no-input --no-index --no-deps "$into"/*.whl
    (cd "$into" && "$maker/bin/python" -I "$here/parts.py" ./*.deb) >"$into/parts.json"
    rm -rf "$maker"
    seal "$into" "$key"
    say "gathered in $to: $(find "$into" -name '*.deb' | wc -l) packages, $(find "$into" -name '*.whl' | wc -l) wheels"
    [[ $to == *.tar ]] || return 0
    tar --create --file "$to.new" --owner=0 --group=0 --directory "$into" .
    mv -T "$to.new" "$to"
    rm -rf "$into"
}

# By the tools that build.txt names, each by its sum, and nothing newer.
make_wheel() { # A FOLDER FOR THE TOOLS, A FOLDER FOR THE WHEEL
    python3 -I -m venv "$1"
    local pip=("$1/bin/python" -I -m pip --quiet --no-input --disable-pip-version-check)
    "${pip[@]}" install --require-hashes -r "$here/build.txt"
    "${pip[@]}" wheel --no-deps --no-build-isolation --wheel-dir "$2" "$source_tree"
}

listed() { (cd "$1" && find . -type f ! -path ./SHA256SUMS ! -path ./SHA256SUMS.sig -print0 | LC_ALL=C sort -z); }

seal() { # FOLDER [KEY]
    local folder=$1 key=$2 sums=$1/SHA256SUMS
    rm -rf "$folder/systemd" "$sums" "$sums.sig" "$folder/release.pub"
    install -D -m 0644 -t "$folder/systemd" "$here"/*
    if [[ $key ]]; then openssl pkey -in "$key" -pubout -out "$folder/release.pub"; fi
    listed "$folder" | (cd "$folder" && xargs -0 sha256sum) >"$sums"
    [[ $key ]] || return 0
    openssl pkeyutl -sign -inkey "$key" -rawin -in "$sums" -out "$sums.sig"
    say "signed; a bench that has this line in $trusted_key takes nothing else:"
    fingerprint "$folder/release.pub"
}

fingerprint() { openssl pkey -pubin -in "$1" -outform DER | sha256sum | cut -d' ' -f1; }

# A copy of our own is checked and used: a stick or a folder of somebody's may change meanwhile.
take_in() { # RELEASE FOLDER
    local release=$1 folder=$2
    rm -rf --one-file-system "$folder"
    mkdir -p "$folder"
    if [[ -d $release ]]; then
        cp -r --no-dereference --no-preserve=all "$release/." "$folder"
    elif [[ -f $release ]]; then
        tar --extract --file "$release" --directory "$folder" --no-same-owner --no-same-permissions ||
            fail "$release is no release: a folder or a .tar made by --gather"
    else
        fail "$release is not there: a folder or a .tar made by --gather"
    fi
    chmod -R u=rwX,go=rX "$folder"
    check "$release" "$folder"
}

# What is listed is what is there, no more and no less, and each has its sum.
check() { # WHAT TO CALL IT, FOLDER
    local name=$1 folder=$2 odd
    odd=$(cd "$folder" && find . ! -type f ! -type d)
    [[ -z $odd ]] || fail "$name holds something that is no file: ${odd%%$'\n'*}: nothing was changed"
    [[ -f $folder/SHA256SUMS && -f $folder/systemd/install ]] ||
        fail "$name holds no SHA256SUMS or no systemd/install: make it anew with --gather"
    check_signature "$name" "$folder"
    if ! odd=$(diff <(listed "$folder" | tr '\0' '\n') \
        <(sed -n 's/^[0-9a-f]\{64\} [ *]//p' "$folder/SHA256SUMS" | LC_ALL=C sort)); then
        fail "$name and its SHA256SUMS name different files: $(sed -n '2s/^[<>] //p' <<<"$odd"): nothing was changed"
    fi
    if ! odd=$(cd "$folder" && sha256sum --check --strict --quiet SHA256SUMS 2>&1); then
        fail "$name was altered or damaged: ${odd%%$'\n'*}: nothing was changed"
    fi
}

check_signature() { # WHAT TO CALL IT, FOLDER
    local name=$1 folder=$2 wanted found
    if [[ ! -e $trusted_key ]]; then
        say "$name: whole by its sums; no key is trusted here ($trusted_key), so who made it is not checked"
        return 0
    fi
    command -v openssl >/dev/null || fail "openssl is missing, which checks signatures: apt install openssl"
    [[ -f $folder/release.pub && -f $folder/SHA256SUMS.sig ]] ||
        fail "$name is not signed, and this bench takes signed releases only ($trusted_key)"
    wanted=$(tr -d ' :\n' <"$trusted_key" | tr A-F a-f)
    found=$(fingerprint "$folder/release.pub")
    [[ $found == "$wanted" ]] ||
        fail "$name is signed by another key ($found) than this bench trusts ($trusted_key)"
    openssl pkeyutl -verify -pubin -inkey "$folder/release.pub" -rawin \
        -in "$folder/SHA256SUMS" -sigfile "$folder/SHA256SUMS.sig" >/dev/null 2>&1 ||
        fail "$name: its signature is not that of its SHA256SUMS: nothing was changed"
    say "$name: signed by the key that this bench trusts"
}
