// Harnesses with random damage go all the way through reading and checking: no crash, and every refusal has a
// place. LOOMWARD_MUTATIONS=10000 in the environment makes it a long run (for the sanitizers).
#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "checker/results.hpp"
#include "parser/read.hpp"

namespace mutated_test {

using namespace loomward;
namespace fs = std::filesystem;

namespace {

std::string content(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

class Examples final : public FileReader {
  public:
    std::optional<std::string> read(const std::string& path) override {
        const fs::path full = fs::path(LOOMWARD_SOURCE_DIR) / "examples" / fs::path(path).filename();
        if (!fs::exists(full)) return std::nullopt;
        return content(full);
    }
    std::vector<std::string> beside(const std::string&) override { return {"shelf.loom"}; }
};

class Damage {
  public:
    explicit Damage(unsigned seed) : random_(seed) {}

    std::string apply(std::string text) {
        for (std::size_t i = 1 + pick(3); i > 0; --i) once(text);
        return text;
    }

  private:
    std::size_t pick(std::size_t count) { return count == 0 ? 0 : random_() % count; }

    void once(std::string& text) {
        std::vector<std::string> lines;
        std::stringstream stream(text);
        for (std::string line; std::getline(stream, line);) lines.push_back(line);
        if (lines.empty()) return;
        std::string& line = lines[pick(lines.size())];
        switch (pick(7)) {
            case 0:
                line.erase(pick(line.size() + 1));
                break;  // cut short
            case 1:
                lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(pick(lines.size())), line);
                break;  // doubled
            case 2:
                std::swap(line, lines[pick(lines.size())]);
                break;
            case 3:
                line.clear();
                break;
            case 4:
                if (!line.empty()) line[pick(line.size())] = static_cast<char>(random_());  // any byte
                break;
            case 5:
                absurd_number(line);
                break;
            default:
                if (line.size() > 1) std::swap(line[pick(line.size())], line[pick(line.size())]);
                break;
        }
        text.clear();
        for (const std::string& each : lines) text += each + "\n";
    }
    void absurd_number(std::string& line) {
        std::vector<std::size_t> digits;
        for (std::size_t i = 0; i < line.size(); ++i)
            if (line[i] >= '0' && line[i] <= '9' && (i == 0 || line[i - 1] < '0' || line[i - 1] > '9'))
                digits.push_back(i);
        if (digits.empty()) return;
        const std::size_t at = digits[pick(digits.size())];
        std::size_t end = at;
        while (end < line.size() && line[end] >= '0' && line[end] <= '9') ++end;
        static const char* const numbers[] = {
            "0", "1", "99999", "0.0001", "1e9", "-5", "12345678901234567890", "7..3", "400"};
        line.replace(at, end - at, numbers[pick(std::size(numbers))]);
    }
    std::mt19937 random_;
};

}  // namespace

TEST_CASE("damaged harnesses are refused with a place, or checked, and never crash the program") {
    const char* const wanted = std::getenv("LOOMWARD_MUTATIONS");
    const int count = wanted ? std::atoi(wanted) : 600;
    const std::vector<std::string> names = {"bench-rig-12v.loom", "ice-sweeper.loom", "launch-24v.loom",
                                            "market-cart.loom", "yard-crane-96v.loom"};
    const std::vector<RuleInfo> rules = rule_list();
    std::vector<std::string_view> rule_names;
    for (const RuleInfo& rule : rules) rule_names.push_back(rule.name);
    ReadOptions options;
    options.rules = rule_names;
    int refused = 0, checked = 0;
    for (int i = 0; i < count; ++i) {
        Examples files;
        const std::string& name = names[static_cast<std::size_t>(i) % names.size()];
        const std::string text = Damage(static_cast<unsigned>(i)).apply(*files.read(name));
        ReadResult read = read_harness_text(name, text, files, options);
        CHECK(read.harness.has_value() == read.mistakes.empty());
        if (!read.harness) {
            ++refused;
            for (const Diagnostic& mistake : read.mistakes)
                CHECK((mistake.where.valid() && !mistake.message.empty()));
            continue;
        }
        const Results results = check(std::make_shared<const Harness>(std::move(*read.harness)));
        ++checked;
        for (const OperatingPoint& point : results.points)
            for (const double volts : point.node_V) CHECK(std::isfinite(volts));
        for (const Finding& finding : results.findings) CHECK(!finding.message.empty());
    }
    CHECK(refused > count / 4);
    CHECK(checked > count / 20);
}

}  // namespace mutated_test
