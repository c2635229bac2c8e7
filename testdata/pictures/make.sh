#!/usr/bin/env bash
# Makes the README's pictures anew from the demo. Needs ezdxf with matplotlib,
# LibreOffice, poppler and Chromium; run it from anywhere in the checkout.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$here/../.."
go run ./cmd/loopwright demo "$work" >/dev/null || [ $? -eq 3 ]

/usr/bin/python3 testdata/drafting/look.py "$work/plans/level-1.dxf" "$work/plan.png" 0 0 1250 680 90
pdftoppm -r 72 -f 2 -l 2 -singlefile -png "$work/switch-sheets.pdf" "$work/switch-sheet"
pdftoppm -r 60 -f 1 -l 1 -singlefile -png "$work/plans.pdf" "$work/plan-page"
(cd "$work" && soffice --headless --convert-to pdf takeoff.xlsx >/dev/null 2>&1)
pdftoppm -r 72 -f 1 -l 1 -singlefile -png "$work/takeoff.pdf" "$work/workbook"
chromium --headless --no-sandbox --disable-gpu --no-first-run --disable-background-networking --user-data-dir="$work/profile" \
  --window-size=1180,760 --screenshot="$work/field-page.png" "file://$work/field.html" >/dev/null 2>&1

# Few colours are enough for line drawings and keep the checkout small.
/usr/bin/python3 - "$work" "$here" <<'PY'
import sys
from PIL import Image
work, here = sys.argv[1:]
for name in ("plan", "switch-sheet", "plan-page", "workbook", "field-page"):
    image = Image.open(f"{work}/{name}.png").convert("RGB")
    image.quantize(48).save(f"{here}/{name}.png", optimize=True)
PY
