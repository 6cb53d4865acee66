#include "render/json/json_mend.hpp"

#include "checker/mend/questions.hpp"
#include "render/json/json_values.hpp"
#include "render/text/line_diff.hpp"
#include "render/text/text_mend.hpp"

namespace loomward {
namespace {

std::string_view verb_word(Verb verb) {
    switch (verb) {
        case Verb::build:
            return "build";
        case Verb::branch:
            return "branch";
        case Verb::put_in:
            return "put-in";
        case Verb::join:
            return "join";
        case Verb::rating:
            return "rating";
        case Verb::type:
            return "type";
        case Verb::size:
            return "size";
        case Verb::length:
            return "length";
        case Verb::setting:
            return "setting";
        case Verb::mode_line:
            return "mode-line";
        case Verb::exchange:
            return "exchange";
        case Verb::land:
            return "land";
        case Verb::take_out:
            return "take-out";
    }
    return {};
}

Json change_json(const MadeChange& made, const Harness& found) {
    const Change& change = made.change;
    Json json = {{"change", verb_word(change.key.verb)},
                 {"where", change.key.where},
                 {"text", change_text(change, found)},
                 {"clears", made.clears}};
    if (change.value > 0) json["to"] = change.value;
    if (change.from > 0) json["from"] = change.from;
    if (change.is_step())
        json["one_step_smaller"] = made.smaller.empty() ? Json(nullptr) : Json(made.smaller);
    return json;
}

}  // namespace

std::string mended_json(const Mended& mended, const Results& found, const std::string& path) {
    Json changes = Json::array(), left = Json::array();
    for (const MadeChange& made : mended.changes) changes.push_back(change_json(made, *found.harness));
    for (const LeftFinding& each : mended.left)
        left.push_back({{"rule", each.finding.rule},
                        {"subject", each.finding.subject},
                        {"severity", each.finding.severity == Severity::error ? "error" : "warning"},
                        {"message", each.finding.message},
                        {"tried", each.tried}});
    const std::string& before = found.harness->sources->files.front().text;
    const Json whole = {{"layout", 1},
                        {"caution", json_caution},
                        {"path", path},
                        {"before",
                         {{"errors", mended.errors_before},
                          {"warnings", mended.warnings_before},
                          {"possible_errors", mended.possible_before.errors},
                          {"possible_warnings", mended.possible_before.warnings}}},
                        {"after",
                         {{"errors", mended.errors_after},
                          {"warnings", mended.warnings_after},
                          {"possible_errors", mended.possible_after.errors},
                          {"possible_warnings", mended.possible_after.warnings},
                          {"modes", mended.modes},
                          {"modes_solved", mended.modes_solved}}},
                        {"changes", std::move(changes)},
                        {"left", std::move(left)},
                        {"questions", questions_of(mended)},
                        {"slower", mended.slower},
                        {"ended_early", mended.ended_early},
                        {"checks", mended.checks},
                        {"diff", line_diff(before, mended.text)}};
    return document_text(whole);
}

}  // namespace loomward
