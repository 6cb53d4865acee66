#include "render/text/text_mend.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <vector>

namespace loomward {
namespace {

using namespace literals;

std::string counted(std::size_t count, const char* one) {
    return fmt::format("{} {}{}", count, one, count == 1 ? "" : "s");
}

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

// Sizes as they are sold, ranges as they are written.
std::string figure(const Change& change) {
    if (change.key.verb == Verb::size) return change.text;
    if (change.key.verb == Verb::rating && !change.text.empty())
        return change.text.substr(change.text.find(' ') + 1);
    return to_text(change.value, change.key.dimension, 4);
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
                        : ", " + in_words(key.what) + " " + figure(change) +
                              (key.what == "(rated-current)"_attr || !change.text.empty() ? ""
                               : change.upper                                             ? " or more"
                                                                                          : " or less");
        }
    return parts;
}

std::string wire_to_buy(const std::map<double, std::pair<std::string, double>>& metres) {
    std::string text;
    for (const auto& [area_mm2, wire] : metres)
        text +=
            (text.empty() ? "wire " : "; ") + wire.first + " " + to_text(wire.second, Dimension::length, 3);
    return text;
}

std::string shopping(const Mended& mended, const Harness& found) {
    const std::map<std::string, std::string> parts = bought(mended, found);
    std::map<double, std::pair<std::string, double>> metres;
    for (const MadeChange& made : mended.changes) {
        if (made.change.key.verb != Verb::size) continue;
        if (const auto wire = found.find_wire(made.change.key.where)) {
            auto& [size, length_m] = metres[made.change.value];
            size = made.change.text;
            length_m += found.wire(*wire).length.hi * found.wire(*wire).parallel;
        }
    }
    if (parts.empty() && metres.empty()) return {};
    std::string text = "\nwhat to buy\n";
    for (const auto& [name, part] : parts) text += "  " + part + "\n";
    if (!metres.empty()) text += "  " + wire_to_buy(metres) + "\n";
    return text;
}

// "U1 draws 38 A": what a mode line said that a lowered setting does not let be.
std::string stated_draw(const Change& change) {
    return change.text.substr(0, change.text.rfind(' ')) + " " + to_text(change.from, Dimension::current);
}

std::vector<std::string> questions(const Mended& mended) {
    std::vector<std::string> asked;
    for (const MadeChange& made : mended.changes) {
        const ChangeKey& key = made.change.key;
        if (key.verb == Verb::setting)
            asked.push_back(
                fmt::format("{} is made slower: is what its pack, battery management or way may give the "
                            "figure on the part? "
                            "A higher one would buy it back.",
                            key.where));
        if (key.verb == Verb::join)
            asked.push_back("how long is the wire from " + key.where + " to " + made.change.other +
                            "? It is taken as about 1 m");
        if (key.verb == Verb::take_out)
            asked.push_back("is " + key.where + " there for something? The modes do not need it");
        if (key.verb == Verb::mode_line && made.change.goes_with_setting)
            asked.push_back(fmt::format(
                "mode {} states {}; with that setting it is {} at the most: is that enough "
                "for what the mode is for? It is yours to decide",
                key.where, stated_draw(made.change), to_text(made.change.value, Dimension::current)));
        if (key.verb == Verb::build)
            asked.push_back("how long are the wires of " + key.where + "? They are taken as about 0.2 m");
        if (key.verb == Verb::branch) asked.push_back("is there room for a fuse before " + key.where + "?");
        if (key.verb == Verb::mode_line && !made.change.goes_with_setting)
            asked.push_back("mode " + key.where + ": does it work so (" + made.change.text + ")?");
        if (key.verb == Verb::length)
            asked.push_back("can what ends " + key.where + " stand within " + figure(made.change) + "?");
    }
    for (const LeftFinding& left : mended.left)
        if (left.finding.asks()) asked.push_back(left.finding.message);
    return asked;
}

std::string headline(const Mended& mended, const std::string& path) {
    return fmt::format("{}: {} and {}. {} leave {} and {} (checked again, {} of {} modes).\n", path,
                       counted(mended.errors_before, "error"), counted(mended.warnings_before, "warning"),
                       counted(count_of_changes(mended), "change"),
                       mended.errors_after == 0 ? "no error" : counted(mended.errors_after, "error"),
                       counted(mended.warnings_after, "warning"), mended.modes_solved, mended.modes);
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
        text +=
            fmt::format("  {} {}: {}; {}\n", left.finding.severity == Severity::error ? "error" : "warning",
                        left.finding.rule, left.finding.message,
                        left.tried ? "what was tried did not help" : "no change is known for it");
    return text.empty() ? text : "\nwhat is left\n" + text;
}

std::string proof(const Mended& mended) {
    std::size_t steps = 0, needed = 0;
    for (const MadeChange& made : mended.changes) {
        if (!made.change.is_step()) continue;
        ++steps;
        if (!made.smaller.empty()) ++needed;
    }
    return fmt::format(
        "\nproof: {} and {} with all changes; {} of {} one step smaller {} a finding back; {}{}\n"
        "A plan passes these checks under these assumptions; it says nothing more. Who is licensed for the "
        "work, and the rules of your place, have the last word.\n",
        counted(mended.errors_after, "error"), counted(mended.warnings_after, "warning"), needed,
        counted(steps, "figure"), needed == 1 ? "brings" : "bring", counted(mended.checks, "check"),
        mended.ended_early ? ", ended early" : "");
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
            return fmt::format("{}: {} {}{}", key.where, in_words(key.what), figure(change),
                               instead_of(change));
        case Verb::type:
            return fmt::format("{}: another type ({})", key.where, change.text);
        case Verb::size: {
            const auto wire = found.find_wire(key.where);
            return fmt::format("{}: {}{}{}", key.where, figure(change), instead_of(change),
                               wire ? ", " + to_text(found.wire(*wire).length.hi, Dimension::length) : "");
        }
        case Verb::length:
            return fmt::format("{}: {}{}, with what it leads to", key.where, figure(change),
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
    const std::vector<std::string> asked = questions(mended);
    if (!asked.empty()) text += "\nquestions only you can answer\n";
    for (std::size_t i = 0; i < asked.size(); ++i) text += fmt::format("  {:2}  {}\n", i + 1, asked[i]);
    text += left_text(mended);
    if (!mended.changes.empty()) text += "\nlines to change: --diff, or --write NEW.loom (never in place)\n";
    return text + proof(mended);
}

}  // namespace loomward
