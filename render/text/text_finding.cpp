// Findings as text:
//
//     cart.loom:31:24: error: wire W7 carries more than it may [overloaded-wire]
//        31 | route F3.out (W7 1.5 mm2, 0.6 m, red) J2.4
//           |               ^~ 22 A; may carry 16 A here
//           note:   cart.loom:14:10: fuse F3 is rated 40 A here
//           path:   B1.+ > W1 > F1 > W2 > F3 > W7
//           why:    22 A = 1100 W / 50 V
//           at:     pack low, 40 degC, mode climb
//           source: IEC 60364-5-52, table B.52.4
//           help:   2.5 mm2 or larger would carry it
#include <fmt/format.h>

#include <algorithm>

#include "render/text/characters.hpp"
#include "render/text/excerpt.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text.hpp"

namespace loomward {
namespace {

std::string notes(const Finding& finding, const Sources& sources, bool color) {
    std::string text;
    for (const Related& related : finding.related) {
        const std::string place = place_text(related.where, sources);
        text += labelled("note", place.empty() ? related.text : place + ": " + related.text, color);
    }
    if (finding.copies > 1)
        text += labelled("note", fmt::format("the same in {} copies; told once", finding.copies), color);
    return text;
}

// What may decide it: "length of W24 (taken as 0.2..5 m)".
std::string open_text(const Finding& finding) {
    constexpr std::size_t most = 4;
    std::string text;
    for (std::size_t i = 0; i < finding.hangs_on.size() && i < most; ++i) {
        const OpenCause& cause = finding.hangs_on[i];
        text += (i ? ", " : "hangs on ") + cause.name + " of " + cause.subject +
                (cause.taken.empty() ? std::string() : " (taken as " + cause.taken + ")");
        if (cause.turns) text += ": true " + turn_text(*cause.turns);
    }
    if (finding.hangs_on.size() > most)
        text += " and " + counted(finding.hangs_on.size() - most, "more open value");
    return text;
}

std::string line_if(std::string_view label, const std::string& text, bool color) {
    return text.empty() ? std::string() : labelled(label, text, color);
}

}  // namespace

std::string finding_text(const Finding& finding, const Results& results, bool color) {
    const Sources& sources = *results.harness->sources;
    const Ink ink = ink_of(finding.severity);
    std::string text;
    if (finding.where.valid())
        text += paint(place_text(finding.where, sources) + ":", Ink::strong, color) + " ";
    text += paint(fmt::format("{}{}:", finding.possible ? "possible " : "", severity_word(finding.severity)),
                  ink, color) +
            " " + paint(printable(finding.message), Ink::strong, color) +
            fmt::format(" [{}]\n", finding.rule);
    text += excerpt(finding.where, finding.beside, sources, ink, color, text_columns);
    text += notes(finding, sources, color);
    text += labelled_path(finding.witness, color);
    text += line_if("why", fmt::format("{}", fmt::join(finding.working, "\n")), color);
    text += line_if("open", open_text(finding), color);
    text += line_if("at", circumstances(finding, results), color);
    text += line_if("source", finding.source, color);
    if (const int number = finding_number(finding, results); number > 0 && !finding.asks())
        text += labelled("flag", fmt::format("{} on the sheet", number), color);
    return text + line_if("help", finding.help, color);
}

}  // namespace loomward
