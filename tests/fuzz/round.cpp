#include "tests/fuzz/round.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <memory>
#include <sstream>

#include "checker/results.hpp"
#include "parser/read.hpp"
#include "render/json/json.hpp"
#include "render/sheet.hpp"
#include "render/text/text.hpp"

namespace fuzz {
namespace {

using namespace loomward;

constexpr std::size_t most_lines = 300;  // larger ones take their time and are no other code

class Shelf final : public FileReader {
  public:
    std::optional<std::string> read(const std::string& path) override {
        if (std::filesystem::path(path).filename() != "shelf.loom") return std::nullopt;
        std::ifstream file(std::filesystem::path(LOOMWARD_SOURCE_DIR) / "examples" / "shelf.loom",
                           std::ios::binary);
        std::stringstream text;
        text << file.rdbuf();
        return text.str();
    }
    std::vector<std::string> beside(const std::string&) override { return {"shelf.loom"}; }
};

// Formatting once is enough, and changes no sentence into a mistake.
std::string formatting(const std::string& text, bool good) {
    std::shared_ptr<Sources> sources;
    std::vector<Diagnostic> mistakes;
    const std::optional<std::string> once = format_text("a.loom", text, sources, mistakes);
    if (!once) return {};
    const std::optional<std::string> twice = format_text("a.loom", *once, sources, mistakes);
    if (!twice) return good ? "formatted, it cannot be formatted again" : "";
    if (good && *once != *twice) return "formatting twice differs from formatting once";
    if (!good) return {};
    Shelf files;
    if (!read_harness_text("a.loom", *once, files, {}).harness) return "formatted, it is no harness any more";
    return {};
}

std::string numbers(const Results& results) {
    for (const OperatingPoint& point : results.points)
        for (const double volts : point.node_V)
            if (!std::isfinite(volts)) return "a voltage that is no number";
    for (const Finding& finding : results.findings)
        if (finding.message.empty()) return "a finding that says nothing";
    return {};
}

}  // namespace

Round go_round(const std::string& text) {
    Round round;
    if (static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')) > most_lines) return round;
    Shelf files;
    ReadResult read = read_harness_text("a.loom", text, files, {});
    if (read.harness.has_value() != read.mistakes.empty()) round.trouble = "refused without a mistake";
    round.checked = read.harness.has_value();
    if (round.trouble.empty()) round.trouble = formatting(text, round.checked);
    if (!round.checked || !round.trouble.empty()) return round;
    const Results results = check(std::make_shared<const Harness>(std::move(*read.harness)));
    round.trouble = numbers(results);
    if (results_text(results, "a.loom", {}).empty() || sheet_svg(results).empty())
        round.trouble = "nothing is told";
    return round;
}

}  // namespace fuzz
