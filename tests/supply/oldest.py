"""Says which package in Cargo.lock asks for a newer Rust than this program promises to be built by: cargo metadata … | python3 oldest.py"""

import json
import sys


def number(version):
    parts = [int(part) for part in version.split(".")]
    return parts + [0] * (3 - len(parts))


packages = json.load(sys.stdin)["packages"]
promised = next(package["rust_version"] for package in packages if package["name"] == "gudgeon")
stated = [package for package in packages if package["rust_version"]]
newer = [package for package in stated if number(package["rust_version"]) > number(promised)]
for package in newer:
    print(f"{package['name']} {package['version']} asks for Rust {package['rust_version']}, and {promised} is promised")
if newer:
    sys.exit(1)
print(f"Rust {promised}: {len(stated)} of {len(packages)} packages say what they ask for, and none asks for more")
