// Package takeoff reads devices off floor plans: it recognises symbols by the job's
// type rules, leaves out what must not count and says why, gives each device its
// level and room, and counts. It knows no circuits and no addresses.
//
// Take reads every drawing once, several at a time. It settles the units and the
// turn of each plan, recognises symbols plan by plan and puts them together in the
// job's order, so that no result depends on timing; then it compares across plans
// and reports.
//
// Of the rules that fit a symbol the first in the job's order gives its type, and
// every rule is tallied. What is drawn inside a recognised symbol is part of it.
//
// A symbol does not count for the first of these reasons that holds: paper space, a
// legend, outside the region, a key plan or detail, hidden, demolition, existing, by
// others. Key plans and details that are found are left out as long as the job gives
// no list of its own; with one, symbols that still count there are a warning (F211).
//
// A type most of whose symbols are hidden (F207) is an error and comes first in the
// findings: it spoils every figure after it. testdata/findings.txt lists the findings
// of every trap.
//
// The rooms below do one thing each: words, plan, units, levels, figures, legend and
// rooms. Package inspect stands above.
package takeoff
