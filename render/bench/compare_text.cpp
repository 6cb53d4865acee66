#include "render/bench/compare_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "render/json/json_values.hpp"
#include "render/text/paint.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

std::string_view word(ThingChange::What what) {
    return what == ThingChange::What::added ? "new" : what == ThingChange::What::removed ? "gone" : "changed";
}
std::string_view word(FindingChange::What what) {
    switch (what) {
        case FindingChange::What::gained:
            return "gained";
        case FindingChange::What::cleared:
            return "cleared";
        case FindingChange::What::graver:
            return "graver";
        case FindingChange::What::milder:
            return "milder";
    }
    return {};
}

std::string amps(double value) {
    return to_text(value, Dimension::current);
}
std::string share_text(double current_A, double limit_A) {
    if (!(limit_A > 0)) return fmt::format("{} of not known", amps(current_A));
    return fmt::format("{} of {}, {:.0f} %", amps(current_A), amps(limit_A), 100 * current_A / limit_A);
}

template <class Each>
void section(std::string& text, const char* title, std::size_t count, std::size_t most, Each each) {
    if (count == 0) return;
    text += fmt::format("{}{} ({})\n", text.empty() ? "" : "\n", title, count);
    const std::size_t shown = most == 0 ? count : std::min(count, most);
    for (std::size_t i = 0; i < shown; ++i) text += "  " + each(i) + "\n";
    if (shown < count) text += fmt::format("  and {} more: --all\n", count - shown);
}

std::string joined(const std::vector<std::string>& list) {
    return fmt::format("{}", fmt::join(list, "; "));
}

}  // namespace

std::string compare_text(const Comparison& comparison, const std::string& old_path,
                         const std::string& new_path, std::size_t most, bool color) {
    std::string text;
    section(text, "parts and wires", comparison.things.size(), most, [&](std::size_t i) {
        const ThingChange& each = comparison.things[i];
        return fmt::format("{} {} {}{}{}", word(each.what), each.kind, each.name,
                           each.details.empty() ? "" : ": ", joined(each.details));
    });
    section(text, "findings", comparison.findings.size(), most, [&](std::size_t i) {
        const FindingChange& each = comparison.findings[i];
        const bool worse =
            each.what == FindingChange::What::gained || each.what == FindingChange::What::graver;
        return paint(word(each.what), worse ? Ink::error : Ink::note, color) +
               fmt::format(" {}: {} [{}]{}", severity_word(each.severity), each.message, each.rule,
                           each.mode.empty() ? "" : " in mode " + each.mode);
    });
    section(text, "what wires carry of what they may", comparison.margins.size(), most, [&](std::size_t i) {
        const MarginChange& each = comparison.margins[i];
        return fmt::format("{}: {}; was {}", each.wire, share_text(each.new_A, each.new_limit_A),
                           share_text(each.old_A, each.old_limit_A));
    });
    section(text, "readings of the first power-up", comparison.readings.size(), most, [&](std::size_t i) {
        const ReadingChange& each = comparison.readings[i];
        const std::string where = each.red.empty()     ? std::string()
                                  : each.black.empty() ? " " + each.red
                                                       : fmt::format(" {} to {}", each.red, each.black);
        return fmt::format(
            "{}{}: {}; was {}", each.about, each.about.empty() && !where.empty() ? where.substr(1) : where,
            each.is.empty() ? "no longer there" : each.is, each.was.empty() ? "not there" : each.was);
    });
    const auto count = [&](FindingChange::What what) {
        return std::count_if(comparison.findings.begin(), comparison.findings.end(),
                             [&](const FindingChange& each) { return each.what == what; });
    };
    text += text.empty() ? "" : "\n";
    text += fmt::format(
        "{} against {}: {} changes of parts and wires, {} findings gained, {} cleared, {} margins and {} "
        "readings moved. Compares two checks under their assumptions, nothing else\n",
        new_path, old_path, comparison.things.size(), count(FindingChange::What::gained),
        count(FindingChange::What::cleared), comparison.margins.size(), comparison.readings.size());
    return text;
}

std::string compare_json(const Comparison& comparison, const std::string& old_path,
                         const std::string& new_path) {
    Json things = Json::array(), findings = Json::array(), margins = Json::array(), readings = Json::array();
    for (const ThingChange& each : comparison.things)
        things.push_back({{"change", word(each.what)},
                          {"kind", each.kind},
                          {"name", each.name},
                          {"details", each.details}});
    for (const FindingChange& each : comparison.findings)
        findings.push_back({{"change", word(each.what)},
                            {"rule", each.rule},
                            {"subject", each.subject},
                            {"severity", severity_word(each.severity)},
                            {"mode", each.mode},
                            {"message", each.message}});
    for (const MarginChange& each : comparison.margins)
        margins.push_back({{"wire", each.wire},
                           {"old_A", json_number(each.old_A)},
                           {"old_limit_A", json_number(each.old_limit_A)},
                           {"new_A", json_number(each.new_A)},
                           {"new_limit_A", json_number(each.new_limit_A)}});
    for (const ReadingChange& each : comparison.readings)
        readings.push_back({{"red", each.red},
                            {"black", each.black},
                            {"about", each.about},
                            {"old", each.was},
                            {"new", each.is}});
    const Json whole = {{"layout", 1},
                        {"caution", json_caution},
                        {"old", old_path},
                        {"new", new_path},
                        {"things", std::move(things)},
                        {"findings", std::move(findings)},
                        {"margins", std::move(margins)},
                        {"readings", std::move(readings)}};
    return document_text(whole);
}

}  // namespace loomward
