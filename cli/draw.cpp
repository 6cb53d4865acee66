#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/terminal.hpp"
#include "render/svg/convert.hpp"

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

std::vector<OutputFile> files_of(const Session& session, SheetFormat format, const Options& options) {
    if (format == SheetFormat::dot) return {{options.output, session.circuit_dot()}};
    if (format == SheetFormat::pdf) return {{options.output, session.sheet_pdf(options.sheet)}};
    const std::string name = options.output.substr(options.output.rfind('/') + 1);
    const std::vector<std::string> pages =
        session.sheet_pages(options.sheet, [&](int page, int count) { return numbered(name, page, count); });
    std::vector<OutputFile> files;
    for (std::size_t i = 0; i < pages.size(); ++i)
        files.push_back(
            {numbered(options.output, static_cast<int>(i) + 1, static_cast<int>(pages.size())),
             format == SheetFormat::png ? svg_to_png(pages[i], options.dots_per_inch) : pages[i]});
    return files;
}

ExitCode write_sheet(const Session& session, SheetFormat format, const Options& options) {
    if (options.output == "-") {
        print(session.sheet_svg(options.sheet));
        return code_of(session);
    }
    std::vector<OutputFile> files;
    try {
        files = files_of(session, format, options);
    } catch (const LibraryMissing& missing) {
        complain(missing.what());
        return ExitCode::wrong;
    }
    for (const OutputFile& file : files)
        if (!put(file.path, file.bytes)) return ExitCode::wrong;
    print(session.verdict(colored(options.color)));
    if (files.size() > 1)
        print(fmt::format("drawn on {} sheets: {} to {}\n", files.size(), files.front().path,
                          files.back().path));
    return code_of(session);
}

}  // namespace

ExitCode draw_sheet(const Options& options) {
    const std::optional<SheetFormat> format = format_of(options.output);
    if (!format) {
        complain(fmt::format("'{}' ends neither with .svg nor .png nor .pdf nor .dot", options.output));
        return ExitCode::wrong;
    }
    const Session session = examine(options.files.front(), {options.mode});
    if (!has_results(session, "nothing was drawn")) return ExitCode::wrong;
    if (session.results()->harness->parts.empty()) {
        complain(fmt::format("{} holds no part, so nothing was drawn", session.path()));
        return ExitCode::wrong;
    }
    if (const std::string trouble = session.sheet_trouble(options.sheet); !trouble.empty()) {
        complain(fmt::format("{}: {}", session.path(), trouble));
        return ExitCode::wrong;
    }
    return write_sheet(session, *format, options);
}

}  // namespace loomward::cli
