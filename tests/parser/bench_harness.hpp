// A small sound harness that mistakes are planted in, one at a time, and what is said of them.
#pragma once
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "parser/read.hpp"

namespace loomward::testing {

inline constexpr std::string_view bench_text = R"(loom 1
harness "Peat barrow" { ambient 5..35 degC }
part tail is wire { 1.5 mm2, insulation xlpe 90 degC }
part mast is assembly {
  port feed
  port back
  load E1 { 36 V, 20 W }
  route feed (W1 1 mm2, 0.5 m, red) E1 (W2 1 mm2, 0.5 m, black) back
}
pack B1 { voltage 30..42 V, resistance 40 mohm, capacity 15 Ah, discharge 40 A, charge 8 A }
fuse F1 { 40 A, 58 V dc, breaks 1 kA, curve iso8820-3 }
switch S1 { 60 V dc, carries 60 A, breaks 40 A at 48 V dc }
connector J1 { mate P1, half pin, contacts 2, carries 50 A, 60 V, takes 6..10 mm2, rated-at 25 degC, limit 99 degC }
relay K1 { contacts change-over, carries 8 A, breaks 3 A at 48 V dc, coil 36 V 50 mA, suppression diode }
resistor R1 { 68 ohm, 15 W }
controller U1 { input 25..50 V, capacitance 1.8 mF, supply-limit 35 A, regen none, pin main low-side 0.5 A }
load H1 { 36 V, 30 W }
assembly T1 is mast
cable C1 { cores red black, 1 mm2, 2 m }
bundle L1 { wrap taped, length 0.5 m }
route B1.+ (W1 10 mm2, 0.2 m, red) F1 (W2 10 mm2, 0.3 m, red) S1 (W3 10 mm2, 0.7 m, red, in L1) J1.1 (W4 10 mm2, 1 m, red) U1.+
route U1.- (W5 10 mm2, 0.2 m, black) P1.2 (W6 10 mm2, 0.9 m, black) B1.-
route F1.out (W7 1 mm2, 0.3 m, red) H1 (W8 1 mm2, 0.4 m, black) B1.-
route F1.out (W9 1 mm2, 0.2 m, red) T1.feed
route T1.back (W10 1 mm2, 0.2 m, black) B1.-
mode haul { S1 closed, K1 released, U1 draws 20 A, U1.main on }
mode idle { others at rest }
)";

// Files by name, in memory.
class FilesInMemory : public FileReader {
  public:
    std::map<std::string, std::string> files;
    std::optional<std::string> read(const std::string& path) override {
        const auto found = files.find(path);
        return found == files.end() ? std::nullopt : std::optional(found->second);
    }
    std::vector<std::string> beside(const std::string&) override {
        std::vector<std::string> names;
        for (const auto& [name, text] : files) names.push_back(name);
        return names;
    }
};

inline constexpr std::string_view bench_rules[] = {"unprotected-wire", "oversized-fuse", "voltage-drop"};

// "11:31 '=': message [id] beside | note: 2:3 text | help" a line, a mistake; parts that are empty leave no
// trace.
inline std::string in_lines(const ReadResult& result) {
    std::string text;
    const auto at = [&](Span where) {
        const Position position = result.sources->position(where);
        return std::to_string(position.line) + ":" + std::to_string(position.column);
    };
    for (const Diagnostic& mistake : result.mistakes) {
        std::string marked(result.sources->text(mistake.where));
        if (marked.find('\n') != std::string::npos) marked = marked.substr(0, marked.find('\n')) + "...";
        text += at(mistake.where) + " '" + marked + "': " + mistake.message + " [" + mistake.id + "]";
        if (!mistake.beside.empty()) text += " " + mistake.beside;
        for (const Note& note : mistake.notes) text += " | note: " + at(note.where) + " " + note.text;
        if (!mistake.help.empty()) text += " | " + mistake.help;
        text += '\n';
    }
    return text;
}

// The bench harness with one piece of text replaced and some appended. The piece must occur.
inline std::string bench_with(std::string_view piece, std::string_view instead,
                              std::string_view appended = {}) {
    std::string text(bench_text);
    const std::size_t at = text.find(piece);
    if (at == std::string::npos) return "the piece to replace is not in the bench harness";
    text.replace(at, piece.size(), instead);
    text += appended;
    return text;
}

inline ReadResult read_bench(const std::string& text) {
    FilesInMemory files;
    files.files["shelf.loom"] = "loom 1\npart strip is fuse { 58 V dc, breaks 1 kA, curve iso8820-5 }\n";
    return read_harness_text("bench.loom", text, files, {bench_rules});
}

}  // namespace loomward::testing
