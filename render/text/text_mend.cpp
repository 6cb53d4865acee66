#include "render/text/text_mend.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <vector>

#include "checker/mend/questions.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

using namespace literals;

std::string in_words(Attr what) {
    std::string name(info(what).name);
    if (name.starts_with('(')) name = name.substr(1, name.size() - 2);
    std::replace(name.begin(), name.end(), '-', ' ');
    return name;
}

std::string kind_word(const Harness& found, const std::string& part) {
    const auto id = found.find_part(part);
    return id ? std::string(info(found.part(*id).kind).word) : std::string("part");
}

std::string instead_of(const Change& change) {
    return change.from > 0 ? " instead of " + to_text(change.from, change.key.dimension, 4) : std::string();
}

// Of statements those that fit a part, in a row.
std::string parts_in(const std::string& statements) {
    std::string text;
    for (std::size_t at = 0; at < statements.size();) {
        const std::size_t end = std::min(statements.find('\n', at), statements.size());
        const std::string line = statements.substr(at, end - at);
        if (!line.starts_with("route ")) text += (text.empty() ? "" : "\n  ") + line;
        at = end + 1;
    }
    return text;
}

// What a shop is asked for: by part, all its figures together.
std::map<std::string, std::string> bought(const Mended& mended, const Harness& found) {
    std::map<std::string, std::string> parts;
    for (const bool put_in : {true, false})
        for (const MadeChange& made : mended.changes) {
            const Change& change = made.change;
            const ChangeKey& key = change.key;
            if (put_in && key.verb == Verb::put_in) parts[change.other] = change.text;
            if (put_in && (key.verb == Verb::build || key.verb == Verb::branch))
                parts[key.where] = parts_in(change.text);
            if (put_in || (key.verb != Verb::rating && key.verb != Verb::type)) continue;
            std::string& part = parts[key.where];
            if (part.empty()) part = kind_word(found, key.where) + " " + key.where;
            part += key.verb == Verb::type
                        ? " of type " + change.text
                        : ", " + in_words(key.what) + " " + figure_text(change) +
                              (key.what == "(rated-current)"_attr || !change.text.empty() ? ""
                               : change.upper                                             ? " or more"
                                                                                          : " or less");
        }
    return parts;
}

// Of one size: how much, beside wires of which nobody knows the length.
struct WireToBuy {
    std::string size;
    double length_m = 0;
    std::size_t not_known = 0;
};

std::string wire_to_buy(const std::map<double, WireToBuy>& sizes) {
    std::string text;
    for (const auto& [area_mm2, wire] : sizes) {
        text += (text.empty() ? "wire " : "; ") + wire.size;
        if (wire.length_m > 0) text += " " + to_text(wire.length_m, Dimension::length, 3);
        if (wire.not_known > 0)
            text += std::string(wire.length_m > 0 ? " and" : "") + " for " + counted(wire.not_known, "wire") +
                    " of unknown length";
    }
    return text;
}

std::string shopping(const Mended& mended, const Harness& found) {
    const std::map<std::string, std::string> parts = bought(mended, found);
    std::map<double, WireToBuy> sizes;
    for (const MadeChange& made : mended.changes) {
        if (made.change.key.verb != Verb::size) continue;
        if (const auto wire = found.find_wire(made.change.key.where)) {
            WireToBuy& buy = sizes[made.change.value];
            buy.size = made.change.text;
            const Wire& now = found.wire(*wire);
            if (now.length.is_known())
                buy.length_m += now.length.hi * now.parallel;
            else
                ++buy.not_known;
        }
    }
    if (parts.empty() && sizes.empty()) return {};
    std::string text = "\nwhat to buy\n";
    for (const auto& [name, part] : parts) text += "  " + part + "\n";
    if (!sizes.empty()) text += "  " + wire_to_buy(sizes) + "\n";
    return text;
}

std::string headline(const Mended& mended, const std::string& path) {
    const auto found = [](std::size_t errors, std::size_t warnings, const AskedValues& asked) {
        const std::size_t values = asked.errors + asked.warnings;
        return counted(errors - asked.errors, "error") + " and " +
               counted(warnings - asked.warnings, "warning") +
               (values ? ", " + counted(values, "open value") + " that could hide one" : "");
    };
    const std::size_t changes = count_of_changes(mended);
    return fmt::format("{}: {}. {} {} {} (checked again, {} of {} modes).\n", path,
                       found(mended.errors_before, mended.warnings_before, mended.asked_before),
                       counted(changes, "change"), changes == 1 ? "leaves" : "leave",
                       found(mended.errors_after, mended.warnings_after, mended.asked_after),
                       mended.modes_solved, mended.modes);
}

std::string what_first(const Mended& mended, const Harness& found, bool all) {
    if (mended.changes.empty()) return {};
    std::string text = "\nwhat first (\"clears\" counts the findings that come back without it)\n";
    constexpr std::size_t usual = 10;
    // What goes with a setting is told beside it.
    std::vector<MadeChange> told;
    std::copy_if(mended.changes.begin(), mended.changes.end(), std::back_inserter(told),
                 [](const MadeChange& made) { return !made.change.goes_with_setting; });
    const std::size_t shown = all ? told.size() : std::min(usual, told.size());
    for (std::size_t i = 0; i < shown; ++i) {
        const MadeChange& made = told[i];
        text += fmt::format("  {:2}  {:<60}", i + 1, change_text(made.change, found));
        if (!made.clears.empty()) text += fmt::format("  clears {}", made.clears.size());
        text += "\n";
        if (made.change.key.verb != Verb::setting) continue;
        for (const MadeChange& with : mended.changes)
            if (with.change.goes_with_setting && with.change.text.starts_with(made.change.key.where + " "))
                text += fmt::format("      and so mode {}: {}, no longer {} (a question below)\n",
                                    with.change.key.where, with.change.text,
                                    to_text(with.change.from, Dimension::current));
    }
    if (shown < told.size()) text += fmt::format("  .. {} more: --all\n", told.size() - shown);
    return text;
}

std::string left_text(const Mended& mended) {
    std::string text;
    for (const LeftFinding& left : mended.left)
        if (!left.finding.asks())
            text += fmt::format("  {} {}: {}; {}\n",
                                left.finding.severity == Severity::error ? "error" : "warning",
                                left.finding.rule, left.finding.message,
                                left.tried ? "what was tried did not help" : "no change is known for it");
    return text.empty() ? text : "\nwhat is left\n" + text;
}

std::string proof(const Mended& mended) {
    std::size_t tried = 0, needed = 0, lowest = 0;
    for (const MadeChange& made : mended.changes) {
        if (!made.change.is_step()) continue;
        if (!made.smaller_tried) {
            ++lowest;
            continue;
        }
        ++tried;
        if (!made.smaller.empty()) ++needed;
    }
    std::string steps;
    if (tried)
        steps = fmt::format("{} of {} one step smaller {} a finding back", needed, counted(tried, "figure"),
                            needed == 1 ? "brings" : "bring");
    if (lowest)
        steps += (tried ? ", " : "") + counted(lowest, "figure") + (lowest == 1 ? " is" : " are") +
                 " one step above what is there";
    return fmt::format(
        "\nproof: {} and {} with all changes{}{}; {}{}\n"
        "A plan passes these checks under these assumptions; it says nothing more. Who is licensed for the "
        "work, and the rules of your place, have the last word.\n",
        counted(mended.errors_after - mended.asked_after.errors, "error"),
        counted(mended.warnings_after - mended.asked_after.warnings, "warning"), steps.empty() ? "" : "; ",
        steps, counted(mended.checks, "check"), mended.ended_early ? ", ended early" : "");
}

}  // namespace

std::string change_text(const Change& change, const Harness& found) {
    const ChangeKey& key = change.key;
    switch (key.verb) {
        case Verb::build:
            return fmt::format("build in {} with its fuses and its switch, and {}", key.where,
                               change.other.substr(0, change.other.find(" {")));
        case Verb::branch:
            return fmt::format("begin {} behind a fuse of its own, {}", key.where,
                               change.other.substr(0, change.other.rfind('.')));
        case Verb::put_in:
            return fmt::format("put {} into {}, at its {}", change.other, key.where,
                               key.at_its_beginning ? "beginning" : "end");
        case Verb::join:
            return fmt::format("join {} to {}", key.where, change.other);
        case Verb::rating:
            return fmt::format("{}: {} {}{}", key.where, in_words(key.what), figure_text(change),
                               instead_of(change));
        case Verb::type:
            return fmt::format("{}: another type ({})", key.where, change.text);
        case Verb::size: {
            const auto wire = found.find_wire(key.where);
            const Quantity length = wire ? found.wire(*wire).length : Quantity{};
            return fmt::format("{}: {}{}{}", key.where, figure_text(change), instead_of(change),
                               !wire               ? std::string()
                               : length.is_known() ? ", " + to_text(length.hi, Dimension::length)
                                                   : ", length not known");
        }
        case Verb::length:
            return fmt::format("{}: {}{}, with what it leads to", key.where, figure_text(change),
                               instead_of(change));
        case Verb::setting:
            return fmt::format("{}: {}", key.where, change.text);
        case Verb::mode_line:
            return fmt::format("mode {}: {}", key.where, change.text);
        case Verb::exchange:
            return fmt::format("exchange the wires at {} and {}", key.where, change.other);
        case Verb::land:
            return fmt::format("land {} on {}", key.where, change.other);
        case Verb::take_out:
            return fmt::format("take wire {} out", key.where);
    }
    return {};
}

std::string mended_text(const Mended& mended, const Results& found, const std::string& path, bool all) {
    const Harness& harness = *found.harness;
    std::string text = headline(mended, path);
    if (mended.slower) text += "settings are lowered for what could be bought: nothing else was found\n";
    text += what_first(mended, harness, all) + shopping(mended, harness);
    const std::vector<std::string> asked = questions_of(mended);
    if (!asked.empty()) text += "\nquestions only you can answer\n";
    for (std::size_t i = 0; i < asked.size(); ++i) text += fmt::format("  {:2}  {}\n", i + 1, asked[i]);
    text += left_text(mended);
    if (!mended.changes.empty()) text += "\nlines to change: --diff, or --write NEW.loom (never in place)\n";
    return text + proof(mended);
}

}  // namespace loomward
