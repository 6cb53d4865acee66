// SVG to PNG and PDF by librsvg and cairo.
#include <cairo-pdf.h>
#include <cairo.h>
#include <librsvg/rsvg.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <stdexcept>

#include "render/sheet.hpp"

namespace loomward {
namespace {

constexpr double largest_side = 32767;  // cairo refuses larger surfaces

struct Free {
    void operator()(RsvgHandle* handle) const { g_object_unref(handle); }
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
    void operator()(cairo_t* context) const { cairo_destroy(context); }
    void operator()(GError* error) const { g_error_free(error); }
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
    RsvgHandle* handle = rsvg_handle_new_from_data(bytes, svg.size(), &error);
    if (!handle) fail("the drawing could not be read", error);
    return Owned<RsvgHandle>(handle);
}

// Width and height in inches.
void size_in(RsvgHandle* handle, double& width, double& height) {
    rsvg_handle_set_dpi(handle, 96);
    if (!rsvg_handle_get_intrinsic_size_in_pixels(handle, &width, &height) || width <= 0 || height <= 0)
        fail("the drawing has no size", nullptr);
    width /= 96;
    height /= 96;
}

void paint(RsvgHandle* handle, cairo_surface_t* surface, double width, double height) {
    const Owned<cairo_t> context(cairo_create(surface));
    const RsvgRectangle area{0, 0, width, height};
    GError* error = nullptr;
    if (!rsvg_handle_render_document(handle, context.get(), &area, &error)) fail("drawing failed", error);
    if (cairo_status(context.get()) != CAIRO_STATUS_SUCCESS) fail("drawing failed", nullptr);
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
    const Owned<cairo_surface_t> surface(
        cairo_image_surface_create(CAIRO_FORMAT_ARGB32, static_cast<int>(wide), static_cast<int>(high)));
    if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS)
        fail("no memory for a picture this large", nullptr);
    paint(handle.get(), surface.get(), wide, high);
    std::string png;
    if (cairo_surface_write_to_png_stream(surface.get(), append, &png) != CAIRO_STATUS_SUCCESS)
        fail("the picture could not be written", nullptr);
    return png;
}

std::string svg_to_pdf(const std::string& svg) {
    const Owned<RsvgHandle> handle = load(svg);
    double width = 0, height = 0;
    size_in(handle.get(), width, height);
    width *= 72;
    height *= 72;
    std::string pdf;
    {
        const Owned<cairo_surface_t> surface(
            cairo_pdf_surface_create_for_stream(append, &pdf, width, height));
        // A fixed date: the same sheet gives the same bytes on every day.
        cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");
        cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "loomward");
        paint(handle.get(), surface.get(), width, height);
        cairo_surface_finish(surface.get());
        if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS)
            fail("the document could not be written", nullptr);
    }
    return pdf;
}

}  // namespace loomward
