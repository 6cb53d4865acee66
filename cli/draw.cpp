#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "render/dot/circuit_dot.hpp"
#include "render/sheet.hpp"
#include "render/svg/convert.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {
namespace {

enum class SheetFormat { svg, png, pdf, dot };

std::optional<SheetFormat> format_of(std::string_view output) {
    if (output == "-" || output.ends_with(".svg")) return SheetFormat::svg;
    if (output.ends_with(".png")) return SheetFormat::png;
    if (output.ends_with(".pdf")) return SheetFormat::pdf;
    if (output.ends_with(".dot")) return SheetFormat::dot;
    return std::nullopt;
}

struct OutputFile {
    std::string path, bytes;
};

// "cart.svg", or "cart-2.svg" where there are several pages.
std::string numbered(const std::string& path, int page, int pages) {
    if (pages == 1) return path;
    const std::size_t dot = path.rfind('.');
    return fmt::format("{}-{}{}", path.substr(0, dot), page, path.substr(dot));
}

std::vector<OutputFile> files_of(const Results& results, SheetFormat format, const Options& options) {
    if (format == SheetFormat::dot) return {{options.output, circuit_dot(results)}};
    if (format == SheetFormat::pdf) return {{options.output, sheet_pdf(results, options.sheet)}};
    const std::string name = options.output.substr(options.output.rfind('/') + 1);
    const std::vector<std::string> pages =
        sheet_pages(results, options.sheet, [&](int page, int count) { return numbered(name, page, count); });
    std::vector<OutputFile> files;
    for (std::size_t i = 0; i < pages.size(); ++i)
        files.push_back(
            {numbered(options.output, static_cast<int>(i) + 1, static_cast<int>(pages.size())),
             format == SheetFormat::png ? svg_to_png(pages[i], options.dots_per_inch) : pages[i]});
    return files;
}

ExitCode write_sheet(const Examined& examined, SheetFormat format, const Options& options) {
    const bool errors = examined.results->count(Severity::error) > 0;
    if (options.output == "-") {
        print(sheet_svg(*examined.results, options.sheet));
        return errors ? ExitCode::errors : ExitCode::fine;
    }
    std::vector<OutputFile> files;
    try {
        files = files_of(*examined.results, format, options);
    } catch (const LibraryMissing& missing) {
        complain(missing.what());
        return ExitCode::wrong;
    }
    for (const OutputFile& file : files) {
        const std::string trouble = replace_file(file.path, file.bytes);
        if (!trouble.empty()) {
            complain(trouble);
            return ExitCode::wrong;
        }
    }
    print(verdict_text(*examined.results, examined.path, colored(options.color)));
    if (files.size() > 1)
        print(fmt::format("drawn on {} sheets: {} to {}\n", files.size(), files.front().path,
                          files.back().path));
    return errors ? ExitCode::errors : ExitCode::fine;
}

}  // namespace

ExitCode draw_sheet(const Options& options) {
    const std::optional<SheetFormat> format = format_of(options.output);
    if (!format) {
        complain(fmt::format("'{}' ends neither with .svg nor .png nor .pdf nor .dot", options.output));
        return ExitCode::wrong;
    }
    const Examined examined = examine(options.files.front(), {options.mode});
    if (examined.results && examined.results->harness->parts.empty()) {
        complain(fmt::format("{} holds no part, so nothing was drawn", examined.path));
        return ExitCode::wrong;
    }
    if (examined.results) {
        if (const std::string trouble = sheet_trouble(*examined.results, options.sheet); !trouble.empty()) {
            complain(fmt::format("{}: {}", examined.path, trouble));
            return ExitCode::wrong;
        }
    }
    if (examined.results && !options.mode.empty()) {
        // Where everything stands does not depend on the mode.
        const Examined whole = examine(options.files.front(), {});
        Options with_layout = options;
        if (whole.results) with_layout.sheet.laid_out_for = &*whole.results;
        return write_sheet(examined, *format, with_layout);
    }
    if (examined.results) return write_sheet(examined, *format, options);
    complain(!examined.trouble.empty()
                 ? examined.trouble
                 : fmt::format("{} has mistakes, so nothing was drawn\n{}", examined.path,
                               mistakes_text(examined.read.mistakes, *examined.read.sources, false)));
    return ExitCode::wrong;
}

}  // namespace loomward::cli
