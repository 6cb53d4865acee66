// A stranger's program: reads a harness, checks it, prints the report and the size of its drawing.
#include <checker/results.hpp>
#include <iostream>
#include <parser/read.hpp>
#include <render/json/json.hpp>
#include <render/sheet.hpp>
#include <render/text/text.hpp>

struct NoFiles : loomward::FileReader {
    std::optional<std::string> read(const std::string&) override { return std::nullopt; }
    std::vector<std::string> beside(const std::string&) override { return {}; }
};

int main() {
    NoFiles files;
    const auto read = loomward::read_harness_text(
        "bare.loom", "loom 1\nharness \"Bare\" { ambient 0..40 degC }\n", files, {});
    if (!read.harness) return 1;
    const auto results = loomward::check(std::make_shared<const loomward::Harness>(*read.harness));
    std::cout << loomward::results_text(results, "bare.loom", {});
    return loomward::sheet_svg(results).find("<svg") == std::string::npos ? 1 : 0;
}
