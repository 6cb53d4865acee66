// How long each part stands what the modes ask, as text:
//
//     mode climb: B1 gives out first, after 14 min (Q1 cuts out ...); flat after 34 min
//       part          hottest     may get  worst level          held cold   held warm    for good
//       B1 cells       61 degC    50 degC  96 A for 5 min           14 min       6 min        74 A
#include "render/text/text_endurance.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "render/text/characters.hpp"
#include "render/text/paint.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

constexpr std::size_t part_columns = 16, degree_columns = 11, level_columns = 22, hold_columns = 13;

std::string filled(const std::string& text, std::size_t columns) {
    const std::size_t wide = display_width(text);
    return text + std::string(wide < columns ? columns - wide : 1, ' ');
}
std::string to_right(const std::string& text, std::size_t columns) {
    const std::size_t wide = display_width(text);
    return std::string(wide < columns ? columns - wide : 1, ' ') + text;
}
std::string span_text(double seconds) {
    return to_text(seconds, Dimension::time, 2);
}
std::string degree_text(double value) {
    return to_text(value, Dimension::temperature);
}
// "empty after 34 min"
std::string flat_text(const Harness& harness, const PackFlat& pack) {
    const std::string name(harness.part(pack.pack).name);
    if (std::isinf(pack.after_s)) return name + " does not run down";
    return name + (pack.fills ? " is full after " : " is empty after ") + span_text(pack.after_s);
}

class EnduranceText {
  public:
    EnduranceText(const Harness& harness, bool color, std::size_t most)
        : harness_(harness), color_(color), most_(most) {}

    std::string write(const std::vector<ModeEndurance>& modes) {
        for (const ModeEndurance& mode : modes) block(mode);
        note(
            "cold: from the hottest ambient of its place, what is in a box from that around the box; "
            "warm: as the rest of the mode leaves it; for good: the level it may be held at without end, "
            "all currents of the mode alike");
        note(
            "temperatures are estimates (docs/heat.md); the published ampacity of a wire and the fast edge "
            "of "
            "a device hold where they are stricter");
        note("what nobody stated is taken at the worse end of what is usual: check --assumptions lists it");
        text_ += "\n";
        return std::move(text_);
    }

  private:
    void note(const std::string& words) { paragraph("  - ", words); }
    void paragraph(const std::string& head, const std::string& words) {
        const std::size_t indent = display_width(head);
        bool first = true;
        for (const std::string& line : wrapped(words, text_columns - indent)) {
            text_ += (first ? head : std::string(indent, ' ')) + line + "\n";
            first = false;
        }
    }

    void block(const ModeEndurance& mode) {
        const std::string name = "mode " + printable(harness_.modes[mode.mode.index()].name);
        if (!mode.known) {
            text_ += paint(name, Ink::strong, color_) +
                     ": not known: the mode contradicts its wiring or was not solved, see its findings\n\n";
            return;
        }
        text_ += paint(name, Ink::strong, color_) + "\n";
        paragraph("  ", first_to_go(mode));
        if (!mode.parts.empty()) table(mode);
        if (!mode.needs.empty())
            paragraph("  not known: ", fmt::format("needs {}", fmt::join(mode.needs, ", ")));
        text_ += "\n";
    }

    std::string first_to_go(const ModeEndurance& mode) const {
        std::string words;
        const bool gives_out = !mode.parts.empty() && !std::isinf(mode.parts.front().gives_out_s);
        if (gives_out) {
            const HeldPart& first = mode.parts.front();
            words = fmt::format("{} gives out first, after {}: {}", first.name, span_text(first.gives_out_s),
                                first.then);
        } else {
            words = mode.parts.empty() ? "nothing flows" : "nothing that is followed gives out";
        }
        for (const PackFlat& pack : mode.packs) words += "; " + flat_text(harness_, pack);
        if (gives_out && !std::isinf(mode.flat_s()))
            words += mode.parts.front().gives_out_s < mode.flat_s() ? "; that is before the pack is flat"
                                                                    : "; the pack is flat before";
        return words;
    }

    void table(const ModeEndurance& mode) {
        text_ += paint(filled("  part", part_columns) + to_right("hottest", degree_columns) +
                           to_right("may get", degree_columns) + "  " + filled("worst level", level_columns) +
                           to_right("held cold", hold_columns) + to_right("held warm", hold_columns) +
                           to_right("for good", hold_columns),
                       Ink::faint, color_) +
                 "\n";
        const std::size_t shown = std::min(most_, mode.parts.size());
        for (std::size_t i = 0; i < shown; ++i) row(mode.parts[i]);
        if (shown < mode.parts.size())
            text_ +=
                fmt::format("  and {} more, none of them nearer to its limit\n", mode.parts.size() - shown);
    }

    void row(const HeldPart& part) {
        const bool device = part.what == HeldPart::What::device;
        const bool box = part.what == HeldPart::What::box;
        std::string level =
            box ? to_text(part.worst_W, Dimension::power) : to_text(part.worst_A, Dimension::current);
        level += std::isinf(part.worst_s) ? ", stays" : " for " + span_text(part.worst_s);
        std::string name = part.name;
        if (part.what == HeldPart::What::pack) name += " cells";
        if (part.what == HeldPart::What::body) name += " body";
        if (box) name += " air";
        text_ += filled("  " + name, part_columns) +
                 to_right(device          ? "-"
                          : !part.settles ? "no end"
                                          : degree_text(part.peak_degC),
                          degree_columns) +
                 to_right(device ? "-" : degree_text(part.limit_degC), degree_columns) + "  " +
                 filled(level, level_columns) + to_right(span_text(part.from_cold_s), hold_columns) +
                 to_right(part.from_warm_s ? span_text(*part.from_warm_s) : "-", hold_columns) +
                 to_right(box ? to_text(part.lasting_W, Dimension::power)
                              : to_text(part.lasting_A, Dimension::current),
                          hold_columns) +
                 "\n";
    }

    const Harness& harness_;
    bool color_;
    std::size_t most_;
    std::string text_;
};

}  // namespace

std::string endurance_text(const Results& results, const std::vector<ModeEndurance>& modes, bool color,
                           std::size_t most_parts) {
    return EnduranceText(*results.harness, color, most_parts).write(modes);
}

}  // namespace loomward
