// Mistakes in the input as text:
//
//     cart.loom:54:17: error: 'mm^2' is not a unit [unknown-unit]
//        54 | route X2 (W4 16 mm^2, 0.80 m, red) J1.1
//           |                 ^~~~ write mm2
//           help: a cross-section is written in mm2, AWG
#include <fmt/format.h>

#include "render/text/characters.hpp"
#include "render/text/excerpt.hpp"
#include "render/text/text.hpp"

namespace loomward {

std::string mistake_text(const Diagnostic& mistake, const Sources& sources, bool color) {
    std::string text;
    if (mistake.where.valid())
        text += paint(place_text(mistake.where, sources) + ":", Ink::strong, color) + " ";
    text += paint("error:", Ink::error, color) + " " + paint(printable(mistake.message), Ink::strong, color) +
            fmt::format(" [{}]\n", mistake.id);
    text += excerpt(mistake.where, mistake.beside, sources, Ink::error, color);
    for (const Note& note : mistake.notes) {
        const std::string place = place_text(note.where, sources);
        text += fmt::format("{}{} {}{}\n", gutter_blanks, paint("note:", Ink::note, color),
                            place.empty() ? place : place + ": ", printable(note.text));
    }
    if (!mistake.help.empty())
        text += fmt::format("{}{} {}\n", gutter_blanks, paint("help:", Ink::note, color),
                            printable(mistake.help));
    return text;
}

std::string mistakes_text(const std::vector<Diagnostic>& mistakes, const Sources& sources, bool color) {
    std::string text;
    for (const Diagnostic& mistake : mistakes) {
        if (!text.empty()) text += "\n";
        text += mistake_text(mistake, sources, color);
    }
    return text;
}

}  // namespace loomward
