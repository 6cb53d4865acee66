#include "render/text/phrases.hpp"

#include <fmt/format.h>
#include <functional>

#include "checker/parts/facts.hpp"
#include "render/text/characters.hpp"
#include "render/text/excerpt.hpp"
#include "render/text/paint.hpp"

namespace loomward {
namespace {

constexpr std::size_t label_columns = 8;     // "source: "
constexpr std::size_t longest_witness = 24;  // steps; of a longer one both ends are shown
constexpr std::string_view no_break = "\u00A0";

// The coldest or hottest surroundings of what a finding is about: "40 degC".
std::string surroundings(const Finding& finding, const Results& results, bool hottest) {
    const std::string_view in_words = hottest ? "hottest surroundings" : "coldest surroundings";
    if (!finding.part && !finding.wire) return std::string(in_words);
    Facts facts(*results.harness);
    warm(facts, results.boxes);
    const Quantity ambient =
        finding.wire ? facts.ambient(finding.wire, finding.mode) : facts.ambient(finding.part, finding.mode);
    return to_text(hottest ? ambient.hi : ambient.lo, Dimension::temperature);
}

std::string corner_words(const Finding& finding, const Results& results) {
    if (!finding.corner) return {};
    switch (*finding.corner) {
        case Corner::fault_max:
            return "pack full, " + surroundings(finding, results, false) + ", resistances at their lowest";
        case Corner::fault_min:
            return "pack empty and aged, conductors hot, resistances at their highest";
        case Corner::run_hot:
            return "pack low, " + surroundings(finding, results, true);
        case Corner::run_full:
            return "pack full";
    }
    return {};
}

// "B1.+ > W1 > F1", its sign tied to the step before it so that no line begins with one.
std::string witness_words(const std::vector<Step>& witness) {
    std::vector<std::string> steps;
    const bool shorten = witness.size() > longest_witness;
    for (std::size_t i = 0; i < witness.size(); ++i) {
        if (shorten && i == longest_witness / 2) {
            steps.push_back(fmt::format("({} more)", witness.size() - longest_witness));
            i = witness.size() - longest_witness / 2;
        }
        steps.push_back(witness[i].name);
    }
    return fmt::format("{}", fmt::join(steps, std::string(no_break) + "> "));
}

}  // namespace

std::string counted(std::size_t count, std::string_view noun) {
    if (count == 0) return fmt::format("no {}s", noun);
    return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

std::string edge_name(const Results& results, EdgeId id) {
    const Edge& edge = results.circuit.edge(id);
    const Harness& harness = *results.harness;
    if (edge.wire) return std::string(harness.wire(edge.wire).name);
    if (edge.role == EdgeRole::contact) return std::string(harness.terminal(edge.from_terminal).path);
    return edge.part ? std::string(harness.part(edge.part).name) : std::string();
}

std::string_view severity_word(Severity severity) {
    switch (severity) {
        case Severity::error:
            return "error";
        case Severity::warning:
            return "warning";
        case Severity::note:
            return "note";
    }
    return {};
}

std::string turn_text(const Turn& turn) {
    return (turn.above ? "above " : "below ") + to_text(middle_of(turn), turn.at.dimension);
}

std::string circumstances(const Finding& finding, const Results& results) {
    std::string words = corner_words(finding, results);
    if (!finding.mode.valid()) return words.empty() ? words : words + ", every mode";
    if (!words.empty()) words += ", ";
    return words.append("mode ").append(results.harness->modes[finding.mode.index()].name);
}

std::string labelled(std::string_view label, std::string_view text, bool color) {
    std::string lines;
    for (const std::string& line : wrapped(text, text_columns - gutter_blanks.size() - label_columns)) {
        const std::string head = lines.empty() ? std::string(label) + ":" : std::string();
        lines.append(gutter_blanks).append(paint(head, Ink::note, color));
        if (!line.empty()) lines.append(label_columns - head.size(), ' ').append(line);
        lines += '\n';
    }
    return lines;
}

std::string labelled_path(const std::vector<Step>& witness, bool color) {
    if (witness.empty()) return {};
    std::string text = labelled("path", witness_words(witness), color);
    for (std::size_t at; (at = text.find(no_break)) != std::string::npos;)
        text.replace(at, no_break.size(), " ");
    return text;
}

int finding_number(const Finding& finding, const Results& results) {
    const std::less<const Finding*> before;
    const Finding* first = results.findings.data();
    if (before(&finding, first) || !before(&finding, first + results.findings.size())) return 0;
    return static_cast<int>(&finding - first) + 1;
}

std::string accepted_amount(const Acceptance& acceptance) {
    return acceptance.up_to ? " up to " + to_text(acceptance.up_to->lo, acceptance.up_to->dimension) : "";
}

}  // namespace loomward
