// SVG to PNG and PDF by librsvg and cairo.
#include "render/svg/convert.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <stdexcept>

#include "render/svg/canvas.hpp"
#include "render/svg/library.hpp"

namespace loomward {
namespace {

constexpr double largest_side = 32767;  // cairo refuses larger surfaces

struct Free {
    void operator()(RsvgHandle* handle) const { library().g_object_unref(handle); }
    void operator()(cairo_surface_t* surface) const { library().cairo_surface_destroy(surface); }
    void operator()(cairo_t* context) const { library().cairo_destroy(context); }
    void operator()(GError* error) const { library().g_error_free(error); }
};
template <class T>
using Owned = std::unique_ptr<T, Free>;

[[noreturn]] void fail(const char* what, GError* error) {
    const Owned<GError> owned(error);
    throw std::runtime_error(std::string(what) + (owned ? ": " + std::string(owned->message) : ""));
}

Owned<RsvgHandle> load(const std::string& svg) {
    GError* error = nullptr;
    const auto* bytes = reinterpret_cast<const guint8*>(svg.data());
    RsvgHandle* handle = library().rsvg_handle_new_from_data(bytes, svg.size(), &error);
    if (!handle) fail("the drawing could not be read", error);
    return Owned<RsvgHandle>(handle);
}

// Width and height in inches.
void size_in(RsvgHandle* handle, double& width, double& height) {
    library().rsvg_handle_set_dpi(handle, 96);
    if (!library().rsvg_handle_get_intrinsic_size_in_pixels(handle, &width, &height) || width <= 0 ||
        height <= 0)
        fail("the drawing has no size", nullptr);
    width /= 96;
    height /= 96;
}

void paint(RsvgHandle* handle, cairo_surface_t* surface, double width, double height) {
    const Owned<cairo_t> context(library().cairo_create(surface));
    const RsvgRectangle area{0, 0, width, height};
    GError* error = nullptr;
    if (!library().rsvg_handle_render_document(handle, context.get(), &area, &error))
        fail("drawing failed", error);
    if (library().cairo_status(context.get()) != CAIRO_STATUS_SUCCESS) fail("drawing failed", nullptr);
}

cairo_status_t append(void* closure, const unsigned char* bytes, unsigned int count) {
    static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(bytes), count);
    return CAIRO_STATUS_SUCCESS;
}

}  // namespace

std::string svg_to_png(const std::string& svg, double dots_per_inch) {
    const Owned<RsvgHandle> handle = load(svg);
    double width = 0, height = 0;
    size_in(handle.get(), width, height);
    const double dots = std::clamp(dots_per_inch, 1.0, largest_side / std::max(width, height));
    const double wide = std::max(1.0, std::floor(width * dots + 0.5)),
                 high = std::max(1.0, std::floor(height * dots + 0.5));
    const Owned<cairo_surface_t> surface(library().cairo_image_surface_create(
        CAIRO_FORMAT_ARGB32, static_cast<int>(wide), static_cast<int>(high)));
    if (library().cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS)
        fail("no memory for a picture this large", nullptr);
    paint(handle.get(), surface.get(), wide, high);
    std::string png;
    if (library().cairo_surface_write_to_png_stream(surface.get(), append, &png) != CAIRO_STATUS_SUCCESS)
        fail("the picture could not be written", nullptr);
    return png;
}

namespace {

constexpr double points_per_mm = 72 / 25.4;

// Cairo's attribute texts quote with an apostrophe.
std::string quoted(const std::string& text) {
    std::string out = "'";
    for (const char c : text) {
        if (c == '\'' || c == '\\') out += '\\';
        out += c;
    }
    return out + "'";
}

std::string points(double mm) {
    return sheet::number(mm * points_per_mm);
}

void add_tags(cairo_t* context, const PdfPage& page) {
    for (const PdfPage::Target& target : page.targets) {
        const std::string text =
            "name=" + quoted(target.name) + " x=" + points(target.x) + " y=" + points(target.y);
        library().cairo_tag_begin(context, CAIRO_TAG_DEST, text.c_str());
        library().cairo_tag_end(context, CAIRO_TAG_DEST);
    }
    for (const PdfPage::Area& area : page.references) {
        const std::string text = "dest=" + quoted(area.target) + " rect=[" + points(area.x) + ' ' +
                                 points(area.y) + ' ' + points(area.width) + ' ' + points(area.height) + ']';
        library().cairo_tag_begin(context, CAIRO_TAG_LINK, text.c_str());
        library().cairo_tag_end(context, CAIRO_TAG_LINK);
    }
}

void add_bookmarks(cairo_surface_t* surface, const PdfPage& page, std::size_t number) {
    const auto add = [&](int parent, const std::string& text, double y, cairo_pdf_outline_flags_t flags) {
        const std::string link = "page=" + std::to_string(number) + " pos=[0 " + points(y) + ']';
        return library().cairo_pdf_surface_add_outline(surface, parent, text.c_str(), link.c_str(), flags);
    };
    const int sheet = add(CAIRO_PDF_OUTLINE_ROOT, "Sheet " + page.label, 0, CAIRO_PDF_OUTLINE_FLAG_OPEN);
    for (const auto& [text, y] : page.bookmarks) add(sheet, text, y, CAIRO_PDF_OUTLINE_FLAG_OPEN);
}

void add_page(cairo_surface_t* surface, const PdfPage& page, std::size_t number) {
    const Owned<RsvgHandle> handle = load(page.svg);
    double width = 0, height = 0;
    size_in(handle.get(), width, height);
    library().cairo_pdf_surface_set_size(surface, width * 72, height * 72);
    library().cairo_pdf_surface_set_page_label(surface, page.label.c_str());
    {
        const Owned<cairo_t> context(library().cairo_create(surface));
        add_tags(context.get(), page);
        if (library().cairo_status(context.get()) != CAIRO_STATUS_SUCCESS)
            fail("the references could not be written", nullptr);
    }
    paint(handle.get(), surface, width * 72, height * 72);
    add_bookmarks(surface, page, number);
    library().cairo_surface_show_page(surface);
}

}  // namespace

std::string pages_to_pdf(const std::vector<PdfPage>& pages, const std::string& title) {
    std::string pdf;
    {
        const Owned<cairo_surface_t> surface(
            library().cairo_pdf_surface_create_for_stream(append, &pdf, 1, 1));
        // No date: the same sheet gives the same bytes on every day.
        library().cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, nullptr);
        library().cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "loomward");
        library().cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
        for (std::size_t i = 0; i < pages.size(); ++i) add_page(surface.get(), pages[i], i + 1);
        library().cairo_surface_finish(surface.get());
        if (library().cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS)
            fail("the document could not be written", nullptr);
    }
    return pdf;
}

}  // namespace loomward
