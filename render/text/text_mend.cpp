#include "render/text/text_mend.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <sstream>
#include <vector>

#include "checker/mend/questions.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text_open.hpp"

namespace loomward {
namespace {

using namespace literals;

std::string in_words(Attr what) {
    std::string name(info(what).name);
    if (name.starts_with('(')) name = name.substr(1, name.size() - 2);
    std::replace(name.begin(), name.end(), '-', ' ');
    return name;
}

// "rated current", "breaks"; "breaks at" of the voltage at which something breaks its current.
std::string figure_words(const ChangeKey& key) {
    return in_words(key.what) +
           (key.what == "breaks"_attr && key.dimension == Dimension::voltage ? " at" : "");
}

std::string kind_word(const Harness& found, const std::string& part) {
    const auto id = found.find_part(part);
    return id ? std::string(info(found.part(*id).kind).word) : std::string("part");
}

std::string instead_of(const Change& change) {
    return change.from > 0 ? " instead of " + to_text(change.from, change.key.dimension, 4) : std::string();
}

// The statements that fit parts among those that a change brings, as they stand in the end.
std::vector<std::string> parts_of(const Change& change, const std::string& mended_text) {
    std::vector<std::string> parts;
    std::istringstream lines(change.text);
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("route ")) continue;
        // "fuse F-W3 ": the words before its own.
        const std::string begins = line.substr(0, line.find(' ', line.find(' ') + 1) + 1);
        const std::size_t at = mended_text.find("\n" + begins);
        parts.push_back(at == std::string::npos
                            ? line
                            : mended_text.substr(at + 1, mended_text.find('\n', at + 1) - at - 1));
    }
    return parts;
}

std::string figure_asked(const Change& change) {
    return figure_words(change.key) + " " + figure_text(change) +
           (change.key.what == "(rated-current)"_attr || change.key.what == "(rated-voltage)"_attr ||
                    !change.text.empty()
                ? ""
            : change.upper ? " or more"
                           : " or less") +
           besides_text(change);
}

// What a shop is asked for: by part, all its figures together.
std::vector<std::string> bought(const Mended& mended, const Harness& found) {
    std::map<std::string, std::string> parts;
    std::set<std::string> brought;
    for (const MadeChange& made : mended.changes)
        if (const std::string part = brought_by(made.change); !part.empty()) {
            brought.insert(part);
            for (const std::string& line : parts_of(made.change, mended.text)) parts[line] = line;
        }
    for (const MadeChange& made : mended.changes) {
        const Change& change = made.change;
        const ChangeKey& key = change.key;
        if ((key.verb != Verb::rating && key.verb != Verb::type) || brought.contains(key.where)) continue;
        std::string& part = parts[kind_word(found, key.where) + " " + key.where];
        if (part.empty()) part = kind_word(found, key.where) + " " + key.where;
        part += key.verb == Verb::type ? " of type " + change.text : ", " + figure_asked(change);
    }
    std::vector<std::string> list;
    for (const auto& [name, part] : parts) list.push_back(part);
    return list;
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
    const std::vector<std::string> parts = bought(mended, found);
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
    for (const std::string& part : parts) text += "  " + part + "\n";
    if (!sizes.empty()) text += "  " + wire_to_buy(sizes) + "\n";
    return text;
}

// Certain ones, then possible ones, then values that could hide one.
std::string counts_text(std::size_t errors, std::size_t warnings, const FindingCounts& asked,
                        const FindingCounts& possible) {
    std::string text = counted(errors - asked.errors - possible.errors, "error") + " and " +
                       counted(warnings - asked.warnings - possible.warnings, "warning");
    if (possible.errors + possible.warnings > 0)
        text += ", " + counted(possible.errors, "possible error") + " and " +
                counted(possible.warnings, "possible warning");
    const std::size_t values = asked.errors + asked.warnings;
    return text + (values ? ", " + counted(values, "open value") + " that could hide one" : "");
}

std::string headline(const Mended& mended, const std::string& path) {
    const std::size_t changes = count_of_changes(mended);
    return fmt::format("{}: {}. {} {} {} (checked again, {} of {} modes).\n", path,
                       counts_text(mended.errors_before, mended.warnings_before, mended.asked_before,
                                   mended.possible_before),
                       counted(changes, "change"), changes == 1 ? "leaves" : "leave", counts_left(mended),
                       mended.modes_solved, mended.modes);
}

// Changes of one part, which are one thing to do.
struct Job {
    std::string part;  // empty: of no part
    std::vector<const MadeChange*> changes;
    std::size_t clears = 0;
};

std::vector<Job> jobs_of(const Mended& mended) {
    std::vector<Job> jobs;
    for (const MadeChange& made : mended.changes) {
        const Change& change = made.change;
        if (change.goes_with_setting) continue;  // told beside it
        const bool figure = change.key.verb == Verb::rating || change.key.verb == Verb::type;
        const std::string part = figure ? change.key.where : brought_by(change);
        auto job = std::find_if(jobs.begin(), jobs.end(),
                                [&](const Job& each) { return !part.empty() && each.part == part; });
        if (job == jobs.end()) job = jobs.insert(jobs.end(), Job{part, {}, 0});
        job->changes.push_back(&made);
        job->clears += made.clears.size();
    }
    std::stable_sort(jobs.begin(), jobs.end(),
                     [](const Job& a, const Job& b) { return a.clears > b.clears; });
    return jobs;
}

std::string job_text(const Job& job, const Harness& found) {
    // What is put in is told with the figures it has in the end, where it is bought.
    for (const MadeChange* made : job.changes)
        if (!brought_by(made->change).empty()) return change_text(made->change, found);
    std::string text = change_text(job.changes.front()->change, found);
    for (std::size_t i = 1; i < job.changes.size(); ++i) {
        const std::string next = change_text(job.changes[i]->change, found);
        text += ", " + next.substr(next.find(": ") + 2);
    }
    return text;
}

std::string what_first(const Mended& mended, const Harness& found, bool all) {
    const std::vector<Job> jobs = jobs_of(mended);
    if (jobs.empty()) return {};
    std::string text = "\nwhat first (\"clears\" counts the findings that come back without it)\n";
    constexpr std::size_t usual = 10;
    const std::size_t shown = all ? jobs.size() : std::min(usual, jobs.size());
    for (std::size_t i = 0; i < shown; ++i) {
        const Job& job = jobs[i];
        text += fmt::format("  {:2}  {:<60}", i + 1, job_text(job, found));
        if (job.clears > 0) text += fmt::format("  clears {}", job.clears);
        text += "\n";
        const Change& change = job.changes.front()->change;
        if (change.key.verb != Verb::setting && !change.gives_less) continue;
        for (const MadeChange& with : mended.changes)
            if (with.change.goes_with_setting && with.change.text.starts_with(change.key.where + " "))
                text += fmt::format("      and so mode {}: {}, no longer {} (a question below)\n",
                                    with.change.key.where, with.change.text,
                                    to_text(with.change.from, Dimension::current));
    }
    if (shown < jobs.size()) text += fmt::format("  .. {} more: --all\n", jobs.size() - shown);
    return text;
}

std::string left_text(const Mended& mended) {
    std::string text;
    for (const LeftFinding& left : mended.left)
        if (!left.finding.asks() && !left.finding.possible)
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
        counted(mended.errors_after - mended.asked_after.errors - mended.possible_after.errors, "error"),
        counted(mended.warnings_after - mended.asked_after.warnings - mended.possible_after.warnings,
                "warning"),
        steps.empty() ? "" : "; ", steps, counted(mended.checks, "check"),
        mended.ended_early ? ", ended early" : "");
}

}  // namespace

std::string counts_left(const Mended& mended) {
    return counts_text(mended.errors_after, mended.warnings_after, mended.asked_after, mended.possible_after);
}

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
            return fmt::format("{}: {} {}{}{}", key.where, figure_words(key), figure_text(change),
                               instead_of(change), besides_text(change));
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
    if (mended.results) {
        const std::string possible = possible_text(*mended.results, false, "check --unknowns"),
                          open = find_out_text(*mended.results, false, false, "check --unknowns");
        if (!possible.empty() || !open.empty()) text += "\n" + possible + open;
        if (text.ends_with("\n\n")) text.pop_back();
    }
    if (!mended.changes.empty()) text += "\nlines to change: --diff, or --write NEW.loom (never in place)\n";
    return text + proof(mended);
}

}  // namespace loomward
