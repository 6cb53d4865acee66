// What stands below the options in the help of each command.
#pragma once

namespace loomward::cli {

inline constexpr const char* examples = R"(Examples:
  loomward check cart.loom                  what is wrong with this harness?
  loomward check *.loom --format json       all of them, for another program
  loomward check cart.loom --mode climb     only in one mode
  loomward draw cart.loom -o cart.pdf       the sheet, to print
  loomward zones cart.loom                  which device guards which wires
  loomward fault cart.loom W12              what happens when the end of W12 is shorted?
  loomward budget cart.loom                 what draws how much, and how long the pack lasts
  loomward endurance cart.loom              what gives out first, and after how long
  loomward mend cart.loom                   what to change so that it passes, and what to buy
  loomward failures cart.loom               what each single failure does, and what then still stops it
  loomward new cart.loom --cells 13s8p      begin a harness from what you know
  loomward report cart.loom -o cart.html    all of it in one file to keep, for a screen, a phone and paper
  loomward schedules cart.loom -o lists     wire list, fuses, contacts, labels, what to buy, as CSV
  loomward power-up cart.loom -o first.html the sheet for the first power-up
  loomward readings cart.loom meter.txt     which joint is bad, by what the meter showed
  loomward hand-over cart.loom -o keep.html what the customer keeps
  loomward compare old.loom new.loom        what changed, and what changes by it
  loomward format --write cart.loom         lay the text out
  loomward explain overloaded-wire          what a rule looks for, and by which source

Exit status: 0 nothing at error level, 1 errors found, 2 the input, the command line or the
output is wrong, 3 internal failure. None of them says that a harness is safe: a check covers what
it says it covers, under the assumptions it lists. Local codes and licensed practice come first.)";

inline constexpr const char* check_examples = R"(Examples:
  loomward check cart.loom
  loomward check cart.loom --assumptions    with every value that was assumed, and by whom it is used
  loomward check - < cart.loom              from standard input
  loomward check *.loom --format json       one JSON document (docs/check.schema.json)
  loomward check *.loom --format sarif      for editors and build servers)";

inline constexpr const char* draw_examples =
    R"(The ending of the file decides what is written: .svg, .png or .pdf. '-o -' writes SVG to standard output.
With .dot it is no sheet but the circuit as a graph: points that are one, and all that lies between them.
Where one page is not enough, a PDF has several, and SVG and PNG become numbered files: cart-1.svg, cart-2.svg.
The verdict of the check is printed too, and decides the exit status.

Examples:
  loomward draw cart.loom -o cart.svg
  loomward draw cart.loom -o cart.pdf --paper a4
  loomward draw cart.loom -o cart.png --dpi 200 --theme dark
  loomward draw cart.loom -o climb.pdf --mode climb
  loomward draw cart.loom -o k1.svg --only K1
  loomward draw cart.loom -o path.svg --path B1.+ U1.+ --current 60)";

inline constexpr const char* zones_examples =
    R"(Every wire stands in one zone: under the devices that open before more than the current shown can flow in it
for long, under electronics alone, or under none. The verdict of the check is printed too, and decides the exit status.

Examples:
  loomward zones cart.loom
  loomward zones cart.loom --format json    for another program (docs/zones.schema.json))";

inline constexpr const char* fault_examples = R"(Examples:
  loomward fault cart.loom W12              the far end of wire W12 against the return of what it feeds
  loomward fault cart.loom U1               across part U1
  loomward fault cart.loom H1.+ X3          from one terminal to another
  loomward fault cart.loom U1 --bridge F1   the same with fuse F1 bridged

Exit status: 0 the short is cleared and no conductor is damaged at either corner, 1 not so.)";

inline constexpr const char* budget_examples =
    R"(Each mode is told at the corner at which its packs give most, a mode that charges with the pack low. What
nobody knows makes no number: the answer then names what is missing. The verdict of the check is printed too,
and decides the exit status.

Examples:
  loomward budget cart.loom
  loomward budget cart.loom --mode climb
  loomward budget cart.loom --format json   for another program (docs/budget.schema.json))";

inline constexpr const char* mend_examples =
    R"(Every plan is written into the text, read and checked again; no function is lost; ratings never fall below
what flows. What no change is known for is listed.

Examples:
  loomward mend cart.loom
  loomward mend cart.loom --diff            the lines to change
  loomward mend cart.loom --write new.loom  the changed harness, comments kept

Exit status: 0 the changed harness has no error, 1 some are left.)";

inline constexpr const char* failures_examples =
    R"(Every single failure of every part is tried: contacts weld and stick, fuses are bolts, wires break, leads touch,
plugs part, electronics die or run on. Contacts follow their coils; what a hand can still stop is found out. What no
mode shows is combined with every other. No category or performance level is judged.

Examples:
  loomward failures cart.loom
  loomward failures cart.loom --of K1       what it does in each mode
  loomward failures cart.loom --mode climb
  loomward failures cart.loom --format json for another program (docs/failures.schema.json)

Exit status: 0 no single failure at error level, 1 some.)";

inline constexpr const char* endurance_examples =
    R"(For every wire, contact, fuse and pack: how hot each mode makes it, how long it stands the worst level, the level it
stands for good; which gives out first, what happens then, and whether the pack is empty before. Estimates. The verdict
of the check is printed too, and decides the exit status.

Examples:
  loomward endurance cart.loom
  loomward endurance cart.loom --mode climb
  loomward endurance cart.loom --format json   for another program (docs/endurance.schema.json))";

inline constexpr const char* new_examples =
    R"(What is not told is left out of the text, and is then not known: a check says what it has to be, and what to find
out first. Put in unasked are a main fuse and one for each branch (--no-fuses leaves them out), and two bars.

Examples:
  loomward new cart.loom --cells 13s8p --discharge "60 A" --bms low --controller "40 A" --motor 3
  loomward new boat.loom --voltage "10.5..14.6 V" --capacity "100 Ah" --load "pump 12 V 8 A" --load "lamp 10 W"
  loomward new trike.loom --controller unknown --converter "12 V 10 A" --negative common --load "horn 3 A"
  loomward check cart.loom                  and then what it asks for, one by one)";
inline constexpr const char* report_examples =
    R"(What to do first, the sheet, every finding with its working, modes, guards, time-current charts, short circuits,
wires, connectors, parts, what is unknown. It reads without a network, on a phone and on paper. Of several harnesses
each becomes a file in the folder that -o names. The verdict of the check is printed too, and decides the exit status.

Examples:
  loomward report cart.loom -o cart.html
  loomward report cart.loom -o cart.html --mend   with changes that were tried and checked again
  loomward report cart.loom -o cart.html --log hill.csv --mode climb --log plain.csv --mode drive
  loomward report *.loom -o reports
  chromium --headless --no-pdf-header-footer --generate-pdf-document-outline --print-to-pdf=cart.pdf cart.html
  loomward report cart.loom --format json -o -    for another program (docs/report.schema.json))";

inline constexpr const char* schedules_examples =
    R"(wires.csv, reels.csv, fuses.csv, contacts.csv, labels.csv, materials.csv, torques.csv: one header line with the
units, then a line a row (RFC 4180). What nobody knows is an empty field. The verdict of the check is printed too, and
decides the exit status.

Examples:
  loomward schedules cart.loom -o lists
  loomward schedules cart.loom -o lists --allowance 5)";

inline constexpr const char* format_examples = R"(Examples:
  loomward format cart.loom                 to standard output
  loomward format --write *.loom            in place; a file with mistakes stays as it is
  loomward format --check *.loom            names the files that would change, exit status 1 if any)";

inline constexpr const char* explain_examples = R"(Examples:
  loomward explain                          every rule in one line
  loomward explain unprotected-wire
  loomward explain missing-unit             a mistake of a text, with an example wrong and right
  loomward explain --watched                what is looked at, and what is not
  loomward explain --plausible              what a value usually is that nobody wrote down
  loomward explain --manual | man -l -      the manual page
  loomward explain --completion bash        to be read by the shell when it starts)";

}  // namespace loomward::cli
