#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "render/sheet.hpp"
#include "render/text.hpp"

namespace loomward::cli {
namespace {

enum class SheetFormat { svg, png, pdf };

std::optional<SheetFormat> format_of(std::string_view output) {
    if (output == "-" || output.ends_with(".svg")) return SheetFormat::svg;
    if (output.ends_with(".png")) return SheetFormat::png;
    if (output.ends_with(".pdf")) return SheetFormat::pdf;
    return std::nullopt;
}

std::string sheet_bytes(const Results& results, SheetFormat format, const Options& options) {
    std::string svg = sheet_svg(results, options.sheet);
    switch (format) {
        case SheetFormat::svg:
            return svg;
        case SheetFormat::png:
            return svg_to_png(svg, options.dots_per_inch);
        case SheetFormat::pdf:
            return svg_to_pdf(svg);
    }
    return svg;
}

ExitCode write_sheet(const Examined& examined, SheetFormat format, const Options& options) {
    const std::string bytes = sheet_bytes(*examined.results, format, options);
    const bool errors = examined.results->count(Severity::error) > 0;
    if (options.output == "-") {
        print(bytes);
    } else {
        const std::string trouble = replace_file(options.output, bytes);
        if (!trouble.empty()) {
            complain(trouble);
            return ExitCode::wrong;
        }
        print(verdict_text(*examined.results, examined.path, colored(options.color)));
    }
    return errors ? ExitCode::errors : ExitCode::fine;
}

}  // namespace

ExitCode draw_sheet(const Options& options) {
    const std::optional<SheetFormat> format = format_of(options.output);
    if (!format) {
        complain(fmt::format("'{}' ends neither with .svg nor .png nor .pdf", options.output));
        return ExitCode::wrong;
    }
    const Examined examined = examine(options.files.front(), options.mode);
    if (examined.results) return write_sheet(examined, *format, options);
    complain(!examined.trouble.empty()
                 ? examined.trouble
                 : fmt::format("{} has mistakes, so nothing was drawn\n{}", examined.path,
                               mistakes_text(examined.read.mistakes, *examined.read.sources, false)));
    return ExitCode::wrong;
}

}  // namespace loomward::cli
