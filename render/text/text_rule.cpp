// What `explain` says about a rule.
#include <fmt/format.h>

#include "render/text/characters.hpp"
#include "render/text/paint.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text.hpp"

namespace loomward {
namespace {

constexpr std::size_t rule_label_columns = 12;

std::string entry(std::string_view label, std::string_view text, bool color) {
    if (text.empty()) return {};
    std::string lines;
    for (const std::string& line : wrapped(text, text_columns - rule_label_columns)) {
        lines += lines.empty()
                     ? paint(label, Ink::note, color) + std::string(rule_label_columns - label.size(), ' ')
                     : std::string(rule_label_columns, ' ');
        lines += line + "\n";
    }
    return lines;
}

// Lines of the language, set in, with their layout kept.
std::string set_in(std::string_view text) {
    std::string lines;
    while (!text.empty()) {
        const std::size_t stop = std::min(text.find('\n'), text.size());
        if (stop > 0) lines += "    " + printable(text.substr(0, stop));
        lines += "\n";
        text.remove_prefix(std::min(stop + 1, text.size()));
    }
    return lines;
}

// What triggers the rule, and what stands in the harness that passes.
std::string example(const RuleInfo& rule, bool color) {
    if (rule.example.empty()) return {};
    return "\n" + paint("example", Ink::note, color) + "\n" + set_in(rule.example) + "\n" +
           paint("mended", Ink::note, color) + "  (the harness around both: docs/rules.md)\n" +
           set_in(rule.instead_of);
}

}  // namespace

std::string rule_text(const RuleInfo& rule, bool color) {
    return paint(rule.name, Ink::strong, color) + "\n\n" + entry("looks for", rule.looks_for, color) +
           entry("formula", rule.formula, color) + entry("source", rule.source, color) +
           entry("limits", rule.limits, color) + example(rule, color);
}

std::string rules_text(const std::vector<RuleInfo>& rules, bool color) {
    std::size_t columns = 0;
    for (const RuleInfo& rule : rules) columns = std::max(columns, rule.name.size() + 2);
    std::string text;
    for (const RuleInfo& rule : rules) {
        std::string head =
            paint(rule.name, Ink::strong, color) + std::string(columns - rule.name.size(), ' ');
        for (const std::string& line : wrapped(rule.looks_for, text_columns - columns)) {
            text += head + line + "\n";
            head = std::string(columns, ' ');
        }
    }
    return text;
}

std::string mistake_kind_text(const MistakeInfo& mistake, bool color) {
    std::string text = paint(mistake.id, Ink::strong, color) + "\n\n" + entry("means", mistake.means, color);
    if (mistake.wrong.empty()) return text;
    return text + "\n" + paint("wrong", Ink::note, color) + "\n" + set_in(mistake.wrong) + "\n" +
           paint("right", Ink::note, color) + "\n" + set_in(mistake.right);
}

std::string mistake_kinds_text(bool color) {
    std::string ids;
    for (const MistakeInfo& mistake : mistake_table())
        ids += (ids.empty() ? "" : " ") + std::string(mistake.id);
    return entry("mistakes", ids, color);
}

}  // namespace loomward
