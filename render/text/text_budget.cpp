// What draws how much, and how long the packs last, as text:
//
//     mode drive, pack low                     volts      amps     watts   share
//       gives     B1 traction pack            38.9 V    40.1 A   1.56 kW
//       takes     U1 controller               38.2 V      38 A   1.45 kW    93 %
//       lost      wires 12 W, contacts 8 W: 1.3 % of 1.56 kW
//
//     how long the packs last
//       drive     B1  flat after 1.02 h (40.8 Ah / 40.1 A)
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "checker/budget/budget.hpp"
#include "render/text/characters.hpp"
#include "render/text/paint.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text.hpp"

namespace loomward {
namespace {

constexpr std::size_t word_columns = 12, row_columns = 36, figure_columns = 10, share_columns = 9;
constexpr std::size_t most_rows = 40;   // of one list; the rest is summed up
constexpr std::size_t most_needed = 8;  // of one line

std::string padded_apart(const std::string& text, std::size_t columns) {
    const std::size_t wide = display_width(text);
    return text + std::string(wide < columns ? columns - wide : 1, ' ');
}
std::string set_right(const std::string& text, std::size_t columns = figure_columns) {
    const std::size_t wide = display_width(text);
    return std::string(wide < columns ? columns - wide : 1, ' ') + text;
}
// Broken at blanks, its first line behind `head`, the others below it.
std::string paragraph(const std::string& head, const std::string& text) {
    const std::size_t indent = display_width(head);
    std::string lines;
    for (const std::string& line : wrapped(text, text_columns - indent))
        lines += (lines.empty() ? head : std::string(indent, ' ')) + line + "\n";
    return lines;
}
std::string label(std::string_view word) {
    return padded_apart("  " + std::string(word), word_columns);
}

// "25 min", "3.4 h", "12.5 days"
std::string lasting(double hours) {
    constexpr double days_from_h = 48;
    if (hours < 1) return to_text(hours * 3600, Dimension::time);
    return hours < days_from_h ? to_text(hours, Dimension::none) + " h"
                               : to_text(hours / 24, Dimension::none) + " days";
}
std::string percent(double part, double whole) {
    constexpr double least = 0.01;
    const double value = 100 * part / whole;
    return value < least ? "< 0.01 %" : to_text(value, Dimension::percentage, 2);
}
std::string lasting(const PackTime& pack) {
    if (!std::isfinite(pack.most_h)) return lasting(pack.least_h) + " or never";
    const std::string least = lasting(pack.least_h), most = lasting(pack.most_h);
    return least == most ? least : least + " to " + most;
}

std::string needs_text(std::vector<std::string> needs) {
    const std::size_t all = needs.size();
    if (all > most_needed) needs.resize(most_needed);
    return fmt::format("not known: needs {}{}", fmt::join(needs, ", "),
                       all > most_needed ? fmt::format(" and {} more", all - most_needed) : std::string());
}

class BudgetText {
  public:
    BudgetText(const Results& results, const Budget& budget, bool color)
        : harness_(*results.harness), budget_(budget), color_(color) {}

    std::string write() {
        for (const ModeBudget& mode : budget_.modes)
            if (!rests(mode.mode)) block("mode " + name_of(mode), mode);
        for (const ModeBudget& mode : budget_.at_rest)
            block(mode.mode ? "at rest, mode " + name_of(mode)
                            : "at rest: switches off, plugs mated, converters on (no mode of the file)",
                  mode);
        times();
        assumed();
        return std::move(text_);
    }

  private:
    std::string name_of(const ModeBudget& mode) const {
        return mode.mode ? printable(harness_.modes[mode.mode.index()].name) : "at rest";
    }
    bool rests(ModeId mode) const {
        return std::any_of(budget_.at_rest.begin(), budget_.at_rest.end(),
                           [&](const ModeBudget& rest) { return rest.mode == mode; });
    }

    std::string name_of(const BudgetRow& row) const {
        const Part& part = harness_.part(row.part);
        if (row.terminal)
            return std::string(harness_.terminal(row.terminal).path) +
                   (row.role == EdgeRole::output_pin ? " pin, out of " + std::string(part.name) + " itself"
                                                     : " pin");
        std::string words = part.label.empty() ? std::string(info(part.kind).word) : printable(part.label);
        if (row.role == EdgeRole::coil) words = "coil, " + words;
        if (row.role == EdgeRole::trip) words = "own consumption";
        if (row.role == EdgeRole::regeneration) words = "returns";
        std::string name = std::string(part.name) + " " + words;
        while (display_width(name) > row_columns - 1 && name.size() > part.name.size() + 1) {
            name.pop_back();  // never into a character
            while ((static_cast<unsigned char>(name.back()) & 0xC0U) == 0x80U) name.pop_back();
            if (static_cast<unsigned char>(name.back()) >= 0xC0U) name.pop_back();
        }
        return name;
    }

    void row(std::string_view word, const BudgetRow& row, const ModeBudget& mode, double share_of_W = 0,
             const std::string& name = {}) {
        text_ += label(word) + padded_apart(name.empty() ? name_of(row) : name, row_columns) +
                 set_right(to_text(row.voltage_V, Dimension::voltage));
        if (!row.needs.empty()) {
            text_ += "   not known\n";
            return;
        }
        text_ += set_right(to_text(row.mean_A, Dimension::current));
        if (mode.by_profile) text_ += set_right(to_text(row.most_A, Dimension::current));
        text_ += set_right(to_text(row.mean_W, Dimension::power));
        if (share_of_W > 0 && mode.needs.empty())
            text_ += set_right(percent(row.mean_W, share_of_W), share_columns);
        text_ += "\n";
    }

    void heading(const std::string& title, const ModeBudget& mode) {
        std::string line = title;
        if (mode.known) line += mode.corner == Corner::run_hot ? ", pack low" : ", pack full";
        if (mode.cycle) line += ", mean of the cycle";
        if (mode.by_profile && !mode.cycle) line += ", the level that stays";
        const std::size_t left = word_columns + row_columns;
        const bool own_line = display_width(line) > left - 1;
        text_ += paint(own_line ? line + "\n" + std::string(left, ' ') : padded_apart(line, left),
                       Ink::strong, color_);
        text_ += set_right("volts") + set_right("amps") + (mode.by_profile ? set_right("at most") : "") +
                 set_right("watts") + set_right("share", share_columns) + "\n";
    }

    void block(const std::string& title, const ModeBudget& mode) {
        if (!mode.known) {
            text_ += paint(title, Ink::strong, color_) +
                     ": not known: the mode contradicts its wiring or was not solved, see its findings\n\n";
            return;
        }
        heading(title, mode);
        const double given_W = mode.given_W();
        std::string_view word = "gives";
        for (const PackTime& pack : mode.packs)
            if (pack.gives.mean_A > 0 || !pack.gives.needs.empty())
                row(std::exchange(word, ""), pack.gives, mode);
        for (const BudgetRow& each : mode.gives) row(std::exchange(word, ""), each, mode);
        word = "charges";
        for (const PackTime& pack : mode.packs)
            if (pack.gives.mean_A < 0 && pack.gives.needs.empty()) {
                BudgetRow taken = pack.gives;
                taken.mean_A = -taken.mean_A;
                taken.mean_W = -taken.mean_W;
                row(std::exchange(word, ""), taken, mode, given_W);
            }
        takers(mode, given_W);
        for (const ConverterRow& each : mode.converters) {
            const std::string name(harness_.part(each.input.part).name);
            row("converts", each.input, mode, 0, name + " in");
            row("", each.output, mode, 0, name + " out");
        }
        losses(mode, given_W);
        for (const BudgetRow& each : mode.held)
            text_ += paragraph(label("cut short"),
                               fmt::format("{} cannot be fed: it gets {}", harness_.part(each.part).name,
                                           to_text(each.mean_A, Dimension::current)));
        text_ += "\n";
    }

    void takers(const ModeBudget& mode, double given_W) {
        std::string_view word = "takes";
        double rest_W = 0;
        for (std::size_t i = 0; i < mode.takes.size(); ++i) {
            if (i < most_rows)
                row(std::exchange(word, ""), mode.takes[i], mode, given_W);
            else
                rest_W += mode.takes[i].mean_W;
        }
        if (mode.takes.size() > most_rows)
            text_ += label("") + fmt::format("{} more, together {}\n", mode.takes.size() - most_rows,
                                             to_text(rest_W, Dimension::power));
    }

    void losses(const ModeBudget& mode, double given_W) {
        if (!mode.needs.empty()) {
            text_ += paragraph(label("lost"), needs_text(mode.needs));
            return;
        }
        if (given_W <= 0) {
            text_ +=
                label("") + std::string(mode.takes.empty() ? "nothing flows\n" : "no pack gives a current\n");
            return;
        }
        if (!mode.loss_needs.empty()) {
            text_ += paragraph(label("lost"), needs_text(mode.loss_needs));
            return;
        }
        std::vector<std::string> parts;
        const auto add = [&](std::string_view where, double lost_W) {
            if (lost_W > 1e-5 * given_W)
                parts.push_back(fmt::format("{} {}", where, to_text(lost_W, Dimension::power)));
        };
        add("wires", mode.wires_W);
        add("contacts and fuses", mode.contacts_W);
        add("diodes", mode.diodes_W);
        add("converters", mode.converted_W());
        if (parts.empty()) parts.emplace_back("next to nothing");
        const double on_the_way_W = mode.wires_W + mode.contacts_W;
        text_ += paragraph(label("lost"),
                           fmt::format("{}; wires and contacts: {} of the {} given", fmt::join(parts, ", "),
                                       percent(on_the_way_W, given_W), to_text(given_W, Dimension::power)));
    }

    std::string time_text(const ModeBudget& mode, const PackTime& pack) const {
        switch (pack.way) {
            case PackTime::Way::not_known:
                return needs_text(pack.needs);
            case PackTime::Way::stands:
                return "does not run down";
            case PackTime::Way::fills:
                return fmt::format("full after at least {} from empty ({})", lasting(pack),
                                   working(mode, pack));
            case PackTime::Way::runs_down:
                return fmt::format("flat after {}{} from full ({})", mode.at_most() ? "at most " : "",
                                   lasting(pack), working(mode, pack));
        }
        return {};
    }
    static std::string working(const ModeBudget& mode, const PackTime& pack) {
        if (mode.by_profile && !mode.cycle)
            return to_text(*pack.capacity_Ah) + ", level by level of the profile";
        return to_text(*pack.capacity_Ah) + " / " + to_text(std::abs(pack.gives.mean_A), Dimension::current);
    }

    void times() {
        std::vector<const ModeBudget*> all;
        for (const ModeBudget& mode : budget_.modes)
            if (!rests(mode.mode)) all.push_back(&mode);
        for (const ModeBudget& mode : budget_.at_rest) all.push_back(&mode);
        std::size_t modes = 0, packs = 0;
        for (const ModeBudget* mode : all) {
            modes = std::max(modes, display_width(name_of(*mode)));
            std::size_t together = 0;
            for (const PackTime& pack : mode->packs)
                together += harness_.part(pack.gives.part).name.size() + 1;
            packs = std::min<std::size_t>(std::max(packs, together - std::min<std::size_t>(together, 1)), 16);
        }
        if (packs == 0) {
            text_ += "there is no pack: nothing runs down\n\n";
            return;
        }
        text_ += paint("how long the packs last\n", Ink::strong, color_);
        for (const ModeBudget* mode : all) {
            if (!mode->known) {
                text_ +=
                    padded_apart("  " + name_of(*mode), modes + 4) + "not known: the mode has no numbers\n";
                continue;
            }
            // Packs in one string last alike: one line.
            for (std::size_t i = 0; i < mode->packs.size();) {
                const std::string words = time_text(*mode, mode->packs[i]);
                std::vector<std::string_view> names;
                for (; i < mode->packs.size() && time_text(*mode, mode->packs[i]) == words; ++i)
                    names.push_back(harness_.part(mode->packs[i].gives.part).name);
                text_ += paragraph(padded_apart("  " + name_of(*mode), modes + 4) +
                                       padded_apart(fmt::format("{}", fmt::join(names, " ")), packs + 2),
                                   words);
            }
        }
        notes(all);
    }

    void notes(const std::vector<const ModeBudget*>& all) {
        std::vector<std::string> left_out;
        bool fills = false, losses = false, open = false;
        for (const ModeBudget* mode : all) {
            for (const std::string& name : mode->left_out)
                if (std::find(left_out.begin(), left_out.end(), name) == left_out.end())
                    left_out.push_back(name);
            open = open || !mode->needs.empty();
            losses = losses || !mode->loss_needs.empty();
            for (const PackTime& pack : mode->packs) fills = fills || pack.way == PackTime::Way::fills;
        }
        const std::string bullet = "  - ";
        text_ += paragraph(bullet,
                           "self-discharge of the cells is not known here and not counted; a new, warm "
                           "pack with all of its capacity is taken");
        if (!left_out.empty())
            text_ +=
                paragraph(bullet, fmt::format("at most: the file leaves out what {} draw at rest (standby), "
                                              "which counts as nothing",
                                              fmt::join(left_out, ", ")));
        if (open)
            text_ += paragraph(bullet,
                               "where something is not known, what else stands in that mode is without it");
        if (losses)
            text_ +=
                paragraph(bullet, "at most: what is lost on the way is not known in full, and not counted");
        if (std::any_of(all.begin(), all.end(), [](const ModeBudget* mode) {
                return std::any_of(mode->gives.begin(), mode->gives.end(),
                                   [](const BudgetRow& row) { return row.role == EdgeRole::output_pin; });
            }))
            text_ += paragraph(bullet,
                               "what a pin supplies is part of the own consumption of its device: no "
                               "pack gives it besides");
        if (fills)
            text_ += paragraph(bullet, "at least: towards the end a pack takes less than when it is empty");
        text_ += paragraph(bullet,
                           "a draw that is a range or an estimate counts at its upper end; phase leads are "
                           "not in the losses");
        text_ += "\n";
    }

    void assumed() {
        if (budget_.assumptions.empty()) return;
        text_ += paint("assumed", Ink::strong, color_) + " (because the file does not say):\n";
        for (const Assumption& one : budget_.assumptions) {
            std::vector<std::string> names = one.used_by;
            const std::size_t all = names.size();
            if (all > most_needed) names.resize(most_needed);
            std::string line = fmt::format("{}: {}", one.what, one.value);
            if (!one.source.empty()) line += fmt::format(" ({})", one.source);
            line += fmt::format(": {}", fmt::join(names, ", "));
            if (all > most_needed) line += fmt::format(" and {} more", all - most_needed);
            text_ += paragraph("  - ", line);
        }
        text_ += "\n";
    }

    const Harness& harness_;
    const Budget& budget_;
    bool color_;
    std::string text_;
};

}  // namespace

std::string budget_text(const Results& results, const Budget& budget, bool color) {
    return BudgetText(results, budget, color).write();
}

}  // namespace loomward
