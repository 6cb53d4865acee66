// Measures sheets: what lies on what, crossings, pages, lettering; the longest joint, wrong references, the
// mm2 of lines that are cut and how many of them have 10 or more, steps of less than 1 mm, the emptiest page;
// time.
//   measure_sheet [--paper a4|a3|letter|tabloid] [--seed N] [--wires N]... [--flags] [--spoil] [--list]
//   FILE...
// --wires generates a harness, of the last --seed before it. hops: see sheet_hops.hpp; signs: without their
// word in the legend, or words without their sign.
// --flags hangs flags on everything. Ends with 1 if anything lies on anything else.
#include <chrono>
#include <cstdio>
#include <cstring>
#include <exception>
#include <map>
#include <string>
#include <vector>

#include "tests/bench/harness_writer.hpp"
#include "tests/render/harness_files.hpp"
#include "tests/render/sheet_hops.hpp"
#include "tests/render/sheet_measure.hpp"
#include "tests/render/sheet_signs_measure.hpp"
#include "tests/render/sheet_truth.hpp"

using namespace loomward;
using namespace loomward::sheet;

namespace {

struct Request {
    SheetOptions options;
    bool flags = false, spoil = false, list = false;
    std::vector<std::pair<std::string, std::string>> harnesses;  // name, generated text or nothing
};

Request request_of(int argc, char** argv) {
    const std::map<std::string, Paper> papers = {
        {"a4", Paper::a4}, {"a3", Paper::a3}, {"letter", Paper::letter}, {"tabloid", Paper::tabloid}};
    Request request;
    unsigned long seed = 1;
    for (int i = 1; i < argc; ++i) {
        const std::string word = argv[i];
        if (word == "--spoil") {
            request.spoil = true;
        } else if (word == "--flags") {
            request.flags = true;
        } else if (word == "--list") {
            request.list = true;
        } else if (word == "--paper" && i + 1 < argc) {
            request.options.paper = papers.at(argv[++i]);
        } else if (word == "--wires" && i + 1 < argc) {
            const std::string wires = argv[++i];
            request.harnesses.emplace_back(
                "generated " + wires + '/' + std::to_string(seed),
                bench::generate_harness(std::stoul(wires), static_cast<std::uint32_t>(seed)).loom);
        } else if (word == "--seed" && i + 1 < argc) {
            seed = std::stoul(argv[++i]);
        } else {
            request.harnesses.emplace_back(word, std::string());
        }
    }
    return request;
}

std::string short_name(const std::string& path) {
    return path.substr(path.rfind('/') + 1);
}

}  // namespace

int main(int argc, char** argv) try {
    const Request request = request_of(argc, argv);
    std::printf(
        "%-24s %5s %5s %5s %4s %5s | %4s %4s %4s %4s %4s %4s %4s | %5s %5s %5s %5s %5s %5s %4s %5s %5s %5s "
        "%7s\n",
        "sheet", "wires", "pages", "scale", "cut", "mm", "t-t", "t-l", "t-s", "l-s", "s-s", "l-l", "out",
        "cross", "bends", "joint", "wrong", "mm2", "heavy", "hops", "kinks", "signs", "full", "seconds");
    std::size_t sum = 0;
    for (const auto& [name, text] : request.harnesses) {
        const Results results = text.empty() ? files::results_of_file(name) : files::results_of_text(text);
        const auto begin = std::chrono::steady_clock::now();
        SheetModel model = make_model(results);
        if (request.flags) flag_everything(model);
        SheetPlan plan = compose(std::move(model), request.options);
        draw_pages(plan, request.options);
        const double seconds =
            std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
        if (request.spoil) spoil(plan);
        const SheetFigures f = figures(plan, request.options);
        const SheetTruth truth = truth_of(plan, request.options);
        const std::vector<std::string> unexplained =
            unexplained_signs(plan, draw_pages(plan, request.options));
        const Collisions& c = f.found;
        std::printf(
            "%-24s %5zu %5d %5.2f %4d %5.2f | %4zu %4zu %4zu %4zu %4zu %4zu %4zu | %5d %5d %5.1f %5zu %5.0f "
            "%5d %4d %5zu %5zu %5.2f %7.3f\n",
            short_name(name).c_str(), f.wires, f.pages, f.scale, f.cut_wires, f.smallest_text,
            c.text_text.size(), c.text_line.size(), c.text_symbol.size(), c.line_symbol.size(),
            c.symbol_symbol.size(), c.line_line.size(), c.outside.size(), f.crossings, f.bends,
            truth.longest_joint_mm, truth.wrong.size(), truth.cut_mm2, truth.heavy_cuts,
            most_hops(results, plan), truth.kinks.size(), unexplained.size(), truth.emptiest, seconds);
        if (request.list) {
            std::fputs(c.all().c_str(), stdout);
            for (const auto* list : {&truth.wrong, &truth.kinks, &unexplained})
                for (const std::string& each : *list) std::printf("%s\n", each.c_str());
        }
        sum += c.count() + truth.wrong.size();
    }
    return sum == 0 ? 0 : 1;
} catch (const std::exception& trouble) {
    std::fprintf(stderr, "measure_sheet: %s\n", trouble.what());
    return 2;
}
