/*
 * spheresum: reduction of over-the-air antenna chamber measurements. C++17, in this header alone, on top of the C API.
 * SPDX-License-Identifier: MIT OR Apache-2.0
 *
 * What each call does stands in spheresum.h, under the same name; units, states and indices are those of C. In addition:
 *
 * Objects    formats, file, options, readings, run, running, figures, reduction and comparison own an object of the library, can be moved and not
 *            copied, and free it. get() gives the pointer for calls of C; it is null in an object that was moved from, which can
 *            be destroyed and assigned to, and has no content; calls that can fail then throw.
 * Views      figure, finding, noise, difference, readings_view and reduction_view are one pointer into the object that they came
 *            from. They may be copied, and are valid as long as that object lives. They never come without content.
 * Errors     A call that can fail throws spheresum::error: code (SPHERESUM_STATUS_...), message (what()), hint, field, line and
 *            column, each empty or 0 where not known. An index beyond the end throws it too.
 * Numbers    that may not be known are std::optional<double>. In: a frequency without value is an unknown one.
 * Arrays     are std::vector, or a pointer with a count; the library reads them where they lie, and this header copies none. An
 *            empty vector of states or times stands for none given. Vectors of one call have one length.
 * Texts      are UTF-8; those that come out are copies, and outlive their objects.
 * Constness  Const functions do not change the object, and may be called from several threads at once; others by one at a time.
 * Threads    as in spheresum.h.
 * ABI        Everything is inline: a program depends on the C library alone.
 */

#ifndef SPHERESUM_HPP
#define SPHERESUM_HPP

#include "spheresum.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <functional>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace spheresum {

/// What readings and results are.
enum class quantity : std::int32_t {
    eirp = SPHERESUM_QUANTITY_EIRP,
    eis = SPHERESUM_QUANTITY_EIS,
    gain = SPHERESUM_QUANTITY_GAIN,
    received = SPHERESUM_QUANTITY_RECEIVED,
    level = SPHERESUM_QUANTITY_LEVEL,
    field_sqrtw = SPHERESUM_QUANTITY_FIELD_SQRTW,
    field_v = SPHERESUM_QUANTITY_FIELD_V,
    field = SPHERESUM_QUANTITY_FIELD,
    relative = SPHERESUM_QUANTITY_RELATIVE
};

/// Polarisation of a reading.
enum class polarisation : std::int32_t {
    theta = SPHERESUM_POLARISATION_THETA,
    phi = SPHERESUM_POLARISATION_PHI,
    total = SPHERESUM_POLARISATION_TOTAL
};

/// Unit of levels: dBm or dBi, or W or a ratio.
enum class unit : std::int32_t { decibel = SPHERESUM_UNIT_DECIBEL, linear = SPHERESUM_UNIT_LINEAR };

/// Integration rule.
enum class rule : std::int32_t {
    automatic = SPHERESUM_RULE_AUTO,
    sine = SPHERESUM_RULE_SINE,
    clenshaw_curtis = SPHERESUM_RULE_CLENSHAW_CURTIS
};

/// State of a sample.
enum class sample : std::uint8_t {
    measured = SPHERESUM_SAMPLE_MEASURED,
    at_most = SPHERESUM_SAMPLE_AT_MOST,
    at_least = SPHERESUM_SAMPLE_AT_LEAST,
    missing = SPHERESUM_SAMPLE_MISSING
};

/// State of a figure.
enum class figure_state : std::uint8_t {
    value = SPHERESUM_FIGURE_VALUE,
    zero = SPHERESUM_FIGURE_ZERO,
    not_above_zero = SPHERESUM_FIGURE_NOT_ABOVE_ZERO,
    refused = SPHERESUM_FIGURE_REFUSED
};

/// How sure a format is of a file.
enum class confidence : std::int32_t {
    none = SPHERESUM_CONFIDENCE_NONE,
    maybe = SPHERESUM_CONFIDENCE_MAYBE,
    likely = SPHERESUM_CONFIDENCE_LIKELY,
    certain = SPHERESUM_CONFIDENCE_CERTAIN
};

/// How much a finding matters.
enum class severity : std::int32_t {
    note = SPHERESUM_SEVERITY_NOTE,
    warning = SPHERESUM_SEVERITY_WARNING,
    refusal = SPHERESUM_SEVERITY_REFUSAL
};

/// Verdict on a run or a channel.
enum class verdict : std::int32_t {
    clear = SPHERESUM_VERDICT_CLEAR,
    corrected = SPHERESUM_VERDICT_CORRECTED,
    noise_limited = SPHERESUM_VERDICT_NOISE_LIMITED,
    not_assessed = SPHERESUM_VERDICT_NOT_ASSESSED
};

/// Verdict on a difference.
enum class difference_verdict : std::int32_t {
    resolved = SPHERESUM_RESOLVED,
    not_resolved = SPHERESUM_NOT_RESOLVED,
    bound_only = SPHERESUM_BOUND_ONLY,
    not_assessed = SPHERESUM_NOT_ASSESSED
};

/// A call that failed. what() is the message.
class error : public std::runtime_error {
public:
    /// An error of your own, such as an adapter's: line and column from 1, or 0.
    error(std::int32_t code, const std::string &message, std::string hint = {}, std::uint64_t line = 0, std::uint64_t column = 0,
          std::string field = {})
        : std::runtime_error(message), code_(code), hint_(std::move(hint)), field_(std::move(field)), line_(line), column_(column)
    {
    }

    /// SPHERESUM_STATUS_..., or a number of its family.
    std::int32_t code() const noexcept { return code_; }
    /// First number of the family: SPHERESUM_STATUS_INPUT and so on. Decide by this one.
    std::int32_t family() const noexcept { return code_ / 1000 * 1000; }
    /// What went wrong.
    const char *message() const noexcept { return what(); }
    /// What to do about it; empty where not known.
    const std::string &hint() const noexcept { return hint_; }
    /// The parameter or the file's field; empty where there is none.
    const std::string &field() const noexcept { return field_; }
    /// Line, or element of an array, from 1; 0 where not known.
    std::uint64_t line() const noexcept { return line_; }
    /// Column in that line, from 1; 0 where not known.
    std::uint64_t column() const noexcept { return column_; }

private:
    std::int32_t code_;
    std::string hint_, field_;
    std::uint64_t line_, column_;
};

namespace detail {

/// Frees an object by its own function.
template <auto Free> struct freer {
    template <class T> void operator()(T *object) const noexcept { Free(object); }
};

template <class T, auto Free> using handle = std::unique_ptr<T, freer<Free>>;

[[noreturn]] inline void raise(std::int32_t status, spheresum_error *details)
{
    handle<spheresum_error, spheresum_error_free> owned(details);
    const std::int32_t code = spheresum_error_code(details);
    throw error(code == SPHERESUM_STATUS_OK ? status : code, spheresum_error_message(details), spheresum_error_hint(details),
                spheresum_error_line(details), spheresum_error_column(details), spheresum_error_field(details));
}

/// Calls a function that ends in out_error.
template <class F, class... A> void call(F function, A... arguments)
{
    spheresum_error *details = nullptr;
    const std::int32_t status = function(arguments..., &details);
    if (status != SPHERESUM_STATUS_OK) {
        raise(status, details);
    }
}

/// The same, for a function whose last output is an object.
template <class T, class F, class... A> T *made(F function, A... arguments)
{
    T *object = nullptr;
    call(function, arguments..., &object);
    return object;
}

/// The same, for a text.
template <class F, class... A> std::string text(F function, A... arguments)
{
    const handle<spheresum_text, spheresum_text_free> owned(made<spheresum_text>(function, arguments...));
    return std::string(spheresum_text_data(owned.get()), spheresum_text_length(owned.get()));
}

/// A number that may not be known: the function ends in an output and gives 1 where it was written.
template <class F, class... A> std::optional<double> number(F function, A... arguments)
{
    double value = 0;
    return function(arguments..., &value) == 1 ? std::optional<double>(value) : std::nullopt;
}

template <class T> T *there(T *object, const char *what)
{
    if (object == nullptr) {
        throw error(SPHERESUM_STATUS_USAGE, std::string("there is no such ") + what,
                    "indices begin with 0, and an object that was moved from is empty");
    }
    return object;
}

/// Checks that an array is as long as the first, or left out.
template <class T>
const T *data(const std::vector<T> &array, std::size_t count, const char *name, bool optional = false)
{
    if (optional && array.empty() && count > 0) {
        return nullptr;
    }
    if (array.size() != count) {
        throw error(SPHERESUM_STATUS_USAGE,
                    std::string(name) + " has " + std::to_string(array.size()) + " elements, not " + std::to_string(count),
                    "give all arrays of a call one length", 0, 0, name);
    }
    return array.data();
}

/// States as the bytes that C takes: an enumeration with that underlying type has the same layout.
inline const std::uint8_t *bytes(const sample *states) { return reinterpret_cast<const std::uint8_t *>(states); }

} // namespace detail

/// Version of the library, such as "1.2.3"; SPHERESUM_VERSION is that of the header.
inline std::string version() { return spheresum_version(); }

/// Version of the library as a number; SPHERESUM_VERSION_NUMBER is that of the header.
inline std::int32_t version_number() noexcept { return spheresum_version_number(); }

/// A remark about the data. A view.
class finding {
public:
    explicit finding(const spheresum_finding *object) : object_(detail::there(object, "finding")) {}
    const spheresum_finding *get() const noexcept { return object_; }
    spheresum::severity severity() const noexcept { return static_cast<spheresum::severity>(spheresum_finding_severity(object_)); }
    std::string code() const { return spheresum_finding_code(object_); }
    std::string message() const { return spheresum_finding_message(object_); }
    std::string advice() const { return spheresum_finding_advice(object_); }
    std::string source() const { return spheresum_finding_source(object_); }
    std::string field() const { return spheresum_finding_field(object_); }
    std::uint64_t line() const noexcept { return spheresum_finding_line(object_); }
    std::uint64_t column() const noexcept { return spheresum_finding_column(object_); }
    std::optional<double> effect_db() const { return detail::number(spheresum_finding_effect_db, object_); }

private:
    const spheresum_finding *object_;
};

/// A figure of a result. A view.
class figure {
public:
    explicit figure(const spheresum_figure *object) : object_(detail::there(object, "figure")) {}
    const spheresum_figure *get() const noexcept { return object_; }
    std::string name() const { return spheresum_figure_name(object_); }
    std::string unit() const { return spheresum_figure_unit(object_); }
    std::string reason() const { return spheresum_figure_reason(object_); }
    std::string assumption() const { return spheresum_figure_assumption(object_); }
    std::string rule() const { return spheresum_figure_rule(object_); }
    std::string edges() const { return spheresum_figure_edges(object_); }
    figure_state state() const noexcept { return static_cast<figure_state>(spheresum_figure_state(object_)); }
    /// A number by SPHERESUM_NUMBER_...
    std::optional<double> number(std::int32_t which) const { return detail::number(spheresum_figure_number, object_, which); }
    std::optional<double> value() const { return number(SPHERESUM_NUMBER_VALUE); }
    std::optional<double> lower() const { return number(SPHERESUM_NUMBER_LOWER); }
    std::optional<double> upper() const { return number(SPHERESUM_NUMBER_UPPER); }
    std::optional<double> standard_uncertainty_db() const { return number(SPHERESUM_NUMBER_STANDARD_UNCERTAINTY_DB); }

private:
    const spheresum_figure *object_;
};

/// What noise does to a channel. A view.
class noise {
public:
    explicit noise(const spheresum_noise *object) : object_(detail::there(object, "noise report")) {}
    const spheresum_noise *get() const noexcept { return object_; }
    spheresum::verdict verdict() const noexcept { return static_cast<spheresum::verdict>(spheresum_noise_verdict(object_)); }
    /// A number by SPHERESUM_NOISE_...
    std::optional<double> number(std::int32_t which) const { return detail::number(spheresum_noise_number, object_, which); }
    std::optional<double> floor_dbm(polarisation of) const
    {
        return detail::number(spheresum_noise_floor_dbm, object_, static_cast<std::int32_t>(of));
    }

private:
    const spheresum_noise *object_;
};

/// A figure of two runs, compared. A view.
class difference {
public:
    explicit difference(const spheresum_difference *object) : object_(detail::there(object, "difference")) {}
    const spheresum_difference *get() const noexcept { return object_; }
    std::string name() const { return spheresum_difference_name(object_); }
    std::string unit() const { return spheresum_difference_unit(object_); }
    difference_verdict verdict() const noexcept
    {
        return static_cast<difference_verdict>(spheresum_difference_verdict(object_));
    }
    /// A number by SPHERESUM_DIFFERENCE_...
    std::optional<double> number(std::int32_t which) const
    {
        return detail::number(spheresum_difference_number, object_, which);
    }
    std::optional<double> reference() const { return number(SPHERESUM_DIFFERENCE_REFERENCE); }
    std::optional<double> test() const { return number(SPHERESUM_DIFFERENCE_TEST); }
    std::optional<double> db() const { return number(SPHERESUM_DIFFERENCE_DB); }

private:
    const spheresum_difference *object_;
};

/// Readings, copied out: element i of every vector belongs to one reading.
struct samples {
    std::vector<double> theta_deg, phi_deg;
    /// Indices of frequencies().
    std::vector<std::size_t> frequency;
    /// SPHERESUM_POLARISATION_...
    std::vector<std::int32_t> polarisation;
    /// Linear values or real parts, and imaginary parts.
    std::vector<double> value, imaginary;
    /// SPHERESUM_SAMPLE_...
    std::vector<std::uint8_t> state;
};

namespace detail {

/// What can be asked of readings, whoever owns them.
template <class Self> class readings_calls {
public:
    std::size_t count() const noexcept { return spheresum_readings_count(object()); }
    spheresum::quantity quantity() const noexcept
    {
        return static_cast<spheresum::quantity>(spheresum_readings_quantity(object()));
    }
    /// Frequencies in the order in which they were met; without value: unknown.
    std::vector<std::optional<double>> frequencies_hz() const
    {
        std::vector<std::optional<double>> all(spheresum_readings_frequency_count(object()));
        for (std::size_t i = 0; i < all.size(); i++) {
            double frequency_hz = 0;
            call(spheresum_readings_frequency_hz, object(), i, &frequency_hz);
            if (frequency_hz > 0) {
                all[i] = frequency_hz;
            }
        }
        return all;
    }
    /// Copies count readings from the first on.
    spheresum::samples samples(std::size_t first, std::size_t count) const
    {
        if (first > this->count() || count > this->count() - first) {
            there<const void>(nullptr, "reading");
        }
        spheresum::samples all;
        all.theta_deg.resize(count);
        all.phi_deg.resize(count);
        all.frequency.resize(count);
        all.polarisation.resize(count);
        all.value.resize(count);
        all.imaginary.resize(count);
        all.state.resize(count);
        call(spheresum_readings_get, object(), first, count, all.theta_deg.data(), all.phi_deg.data(), all.frequency.data(),
             all.polarisation.data(), all.value.data(), all.imaginary.data(), all.state.data());
        return all;
    }
    /// Copies all readings.
    spheresum::samples samples() const { return samples(0, count()); }

private:
    const spheresum_readings *object() const noexcept { return static_cast<const Self *>(this)->get(); }
};

} // namespace detail

/// Readings that another object owns. A view.
class readings_view : public detail::readings_calls<readings_view> {
public:
    explicit readings_view(const spheresum_readings *object) : object_(detail::there(object, "readings")) {}
    const spheresum_readings *get() const noexcept { return object_; }

private:
    const spheresum_readings *object_;
};

/// Readings of one quantity, built from arrays.
class readings : public detail::readings_calls<readings> {
public:
    readings(spheresum::quantity what, const std::string &name)
        : object_(detail::made<spheresum_readings>(spheresum_readings_new, static_cast<std::int32_t>(what), name.c_str()))
    {
    }
    /// Takes an object of C over.
    explicit readings(spheresum_readings *object) : object_(object) {}
    const spheresum_readings *get() const noexcept { return object_.get(); }
    operator readings_view() const { return readings_view(get()); }

    /// An entry, such as averages.
    void add_entry(const std::string &key, const std::string &value)
    {
        detail::call(spheresum_readings_add_entry, object_.get(), key.c_str(), value.c_str());
    }
    /// Powers, sensitivities or gains of one polarisation at one frequency. All of them or none.
    void add(polarisation of, std::optional<double> frequency_hz, std::size_t count, const double *theta_deg, const double *phi_deg,
             const double *level, spheresum::unit in = spheresum::unit::decibel, const sample *state = nullptr,
             const double *time_s = nullptr)
    {
        detail::call(spheresum_readings_add, object_.get(), static_cast<std::int32_t>(of), frequency_hz.value_or(0), count,
                     theta_deg, phi_deg, level, static_cast<std::int32_t>(in), detail::bytes(state), time_s);
    }
    void add(polarisation of, std::optional<double> frequency_hz, const std::vector<double> &theta_deg,
             const std::vector<double> &phi_deg, const std::vector<double> &level, spheresum::unit in = spheresum::unit::decibel,
             const std::vector<sample> &state = {}, const std::vector<double> &time_s = {})
    {
        const std::size_t n = theta_deg.size();
        add(of, frequency_hz, n, theta_deg.data(), detail::data(phi_deg, n, "phi_deg"), detail::data(level, n, "level"), in,
            detail::data(state, n, "state", true), detail::data(time_s, n, "time_s", true));
    }
    /// A complex field of one polarisation at one frequency. All of it or nothing.
    void add_field(polarisation of, std::optional<double> frequency_hz, std::size_t count, const double *theta_deg,
                   const double *phi_deg, const double *real, const double *imaginary, const sample *state = nullptr)
    {
        detail::call(spheresum_readings_add_field, object_.get(), static_cast<std::int32_t>(of), frequency_hz.value_or(0), count,
                     theta_deg, phi_deg, real, imaginary, detail::bytes(state));
    }
    void add_field(polarisation of, std::optional<double> frequency_hz, const std::vector<double> &theta_deg,
                   const std::vector<double> &phi_deg, const std::vector<double> &real, const std::vector<double> &imaginary,
                   const std::vector<sample> &state = {})
    {
        const std::size_t n = theta_deg.size();
        add_field(of, frequency_hz, n, theta_deg.data(), detail::data(phi_deg, n, "phi_deg"), detail::data(real, n, "real"),
                  detail::data(imaginary, n, "imaginary"), detail::data(state, n, "state", true));
    }
    /// One power, sensitivity or gain.
    void add_one(polarisation of, std::optional<double> frequency_hz, double theta_deg, double phi_deg, double level,
                 spheresum::unit in = spheresum::unit::decibel, sample state = sample::measured)
    {
        detail::call(spheresum_readings_add_one, object_.get(), static_cast<std::int32_t>(of), frequency_hz.value_or(0), theta_deg,
                     phi_deg, level, static_cast<std::int32_t>(in), static_cast<std::uint8_t>(state));
    }

private:
    detail::handle<spheresum_readings, spheresum_readings_free> object_;
};

/// What an adapter hands its readings to; lives during adapter::read().
class sink {
public:
    explicit sink(spheresum_sink *object) : object_(detail::there(object, "sink")) {}
    spheresum_sink *get() const noexcept { return object_; }
    /// Says what the readings are, before the first of them.
    void begin(spheresum::quantity what) { detail::call(spheresum_sink_begin, object_, static_cast<std::int32_t>(what)); }
    /// A reading; a polarisation or frequency without value is that of the options of the call. line from 1, or 0.
    void add(std::optional<polarisation> of, std::optional<double> frequency_hz, double theta_deg, double phi_deg, double level,
             spheresum::unit in, sample state, std::uint64_t line)
    {
        detail::call(spheresum_sink_add, object_, of ? static_cast<std::int32_t>(*of) : -1, frequency_hz.value_or(0), theta_deg,
                     phi_deg, level, static_cast<std::int32_t>(in), static_cast<std::uint8_t>(state), line);
    }
    /// A remark.
    void remark(spheresum::severity how, const std::string &code, const std::string &message, std::uint64_t line = 0)
    {
        detail::call(spheresum_sink_remark, object_, static_cast<std::int32_t>(how), code.c_str(), message.c_str(), line);
    }
    /// An option that the caller set by name.
    std::optional<std::string> option(const std::string &name)
    {
        const char *value = spheresum_sink_option(object_, name.c_str());
        return value == nullptr ? std::nullopt : std::optional<std::string>(value);
    }

private:
    spheresum_sink *object_;
};

/// How sure an adapter is, and why.
struct look_result {
    spheresum::confidence confidence;
    std::string reason;
};

/// A text format of your own. Its functions may be called from any thread, several at a time.
class adapter {
public:
    virtual ~adapter() = default;
    /// Small letters, digits and hyphens.
    virtual std::string id() const = 0;
    /// What the format is, in a few words.
    virtual std::string name() const = 0;
    /// How sure it is that a text is its own. An exception counts as not at all.
    virtual look_result look(std::string_view name, std::string_view head) const = 0;
    /// Hands the readings over. An exception says why not: spheresum::error also where; any other counts as wrong input.
    virtual void read(std::string_view name, std::string_view text, sink &out) const = 0;
};

namespace detail {

inline std::int32_t adapter_look(const char *name, const char *text, std::size_t length, char *reason, std::size_t capacity,
                                 void *user) noexcept
{
    look_result result{confidence::none, {}};
    try {
        result = static_cast<const adapter *>(user)->look(name, std::string_view(text, length));
        std::snprintf(reason, capacity, "%s", result.reason.c_str());
    } catch (const std::exception &e) {
        std::snprintf(reason, capacity, "%s", e.what());
        return SPHERESUM_CONFIDENCE_NONE;
    } catch (...) {
        return SPHERESUM_CONFIDENCE_NONE;
    }
    return static_cast<std::int32_t>(result.confidence);
}

/// Tells the sink why; a code that no adapter may give counts as wrong input.
inline std::int32_t adapter_fail(spheresum_sink *to, std::int32_t code, const char *message, const char *hint,
                                 std::uint64_t line, std::uint64_t column) noexcept
{
    if (code != SPHERESUM_STATUS_OK && spheresum_sink_fail(to, code, message, hint, line, column, nullptr) == SPHERESUM_STATUS_OK) {
        return code;
    }
    spheresum_sink_fail(to, SPHERESUM_STATUS_INPUT, message, hint, line, column, nullptr);
    return SPHERESUM_STATUS_INPUT;
}

inline std::int32_t adapter_read(const char *name, const char *text, std::size_t length, spheresum_sink *to, void *user) noexcept
{
    try {
        sink out(to);
        static_cast<const adapter *>(user)->read(name, std::string_view(text, length), out);
        return SPHERESUM_STATUS_OK;
    } catch (const error &e) {
        return adapter_fail(to, e.code(), e.what(), e.hint().c_str(), e.line(), e.column());
    } catch (const std::exception &e) {
        return adapter_fail(to, SPHERESUM_STATUS_INPUT, e.what(), "", 0, 0);
    } catch (...) {
        return adapter_fail(to, SPHERESUM_STATUS_INPUT, "the adapter threw something that is no std::exception", "", 0, 0);
    }
}

inline void adapter_destroy(void *user) { delete static_cast<adapter *>(user); }

} // namespace detail

class file;

/// What a format makes of a file.
struct candidate {
    std::string id;
    spheresum::confidence confidence;
    std::string reason;
};

/// The formats that files are read with.
class formats {
public:
    formats() : object_(detail::made<spheresum_formats>(spheresum_formats_new)) {}
    const spheresum_formats *get() const noexcept { return object_.get(); }
    std::size_t count() const noexcept { return spheresum_formats_count(get()); }
    std::string id(std::size_t index) const { return spheresum_formats_id(get(), index); }
    std::string name(std::size_t index) const { return spheresum_formats_name(get(), index); }
    std::string specification(std::size_t index) const { return spheresum_formats_specification(get(), index); }
    /// A layout, a TOML text.
    void add_layout(const std::string &name, std::string_view toml)
    {
        detail::call(spheresum_formats_add_layout, object_.get(), name.c_str(),
                     reinterpret_cast<const std::uint8_t *>(toml.data()), toml.size());
    }
    /// An adapter of your own.
    void add(std::unique_ptr<adapter> one)
    {
        detail::there(object_.get(), "formats");
        detail::there(one.get(), "adapter");
        const std::string id = one->id(), name = one->name();
        const spheresum_adapter table = {sizeof(spheresum_adapter), id.c_str(),           name.c_str(),
                                         detail::adapter_look,      detail::adapter_read, detail::adapter_destroy};
        // The library owns it from here on, also where the call fails.
        detail::call(spheresum_formats_add, object_.get(), &table, static_cast<void *>(one.release()));
    }
    /// The adapters of a plug-in; the path has a separator in it. Loading runs its code.
    void load(const std::string &path) { detail::call(spheresum_formats_load, object_.get(), path.c_str()); }
    /// What each format makes of a file, the surest first.
    std::vector<candidate> look(const std::string &name, const std::uint8_t *bytes, std::size_t length) const
    {
        const std::string lines = detail::text(spheresum_formats_look, get(), name.c_str(), bytes, length);
        std::vector<candidate> all;
        for (std::size_t at = 0; at < lines.size();) {
            const std::size_t end = std::min(lines.find('\n', at), lines.size());
            const std::size_t first = lines.find('\t', at), second = lines.find('\t', first + 1);
            all.push_back({lines.substr(at, first - at), static_cast<confidence>(lines.at(first + 1) - '0'),
                           lines.substr(second + 1, end - second - 1)});
            at = end + 1;
        }
        return all;
    }

private:
    detail::handle<spheresum_formats, spheresum_formats_free> object_;
};

namespace detail {

/// Hands progress to a function; 0 goes on.
inline std::int32_t watched(double done, const char *what, void *user) noexcept
{
    try {
        return (*static_cast<std::function<bool(double, const char *)> *>(user))(done, what) ? 0 : 1;
    } catch (...) {
        return 1;
    }
}

} // namespace detail

/// Options of reading, reducing and comparing, by the names of the command.
class options {
public:
    options() : object_(detail::made<spheresum_options>(spheresum_options_new)) {}
    const spheresum_options *get() const noexcept { return object_.get(); }
    /// Sets one, or replaces it.
    options &set(const std::string &name, const std::string &value)
    {
        detail::call(spheresum_options_set, object_.get(), name.c_str(), value.c_str());
        return *this;
    }
    /// Takes the range loss from a file with a curve.
    options &set_range(const file &curve);
    /// Takes the noise floor from readings of a silent device; detector has to be set too.
    options &set_floor(const readings_view &silent)
    {
        detail::call(spheresum_options_set_floor, object_.get(), silent.get());
        return *this;
    }
    /// Sets who is told the progress of calls with these options, from 0 to 1 with what is being done. It returns false, or throws, to stop the call. It is
    /// called on the thread of the call. An empty function: nobody.
    options &set_watch(std::function<bool(double, const char *)> watch)
    {
        auto kept = watch ? std::make_unique<watcher>(std::move(watch)) : nullptr;
        detail::call(spheresum_options_set_watch, object_.get(), kept ? &detail::watched : nullptr, static_cast<void *>(kept.get()));
        watch_ = std::move(kept);
        return *this;
    }
    /// Names that set() knows.
    static std::vector<std::string> names()
    {
        std::vector<std::string> all;
        for (std::size_t i = 0; i < spheresum_option_count(); i++) {
            all.emplace_back(spheresum_option_name(i));
        }
        return all;
    }

private:
    using watcher = std::function<bool(double, const char *)>;
    // The library is told of it by its address, which moving the options leaves alone.
    std::unique_ptr<watcher> watch_;
    detail::handle<spheresum_options, spheresum_options_free> object_;
};

/// A file that was read.
class file {
public:
    /// Reads a file.
    static file open(const formats &with, const std::string &path) { return open_(with, path, nullptr); }
    static file open(const formats &with, const std::string &path, const options &how) { return open_(with, path, how.get()); }
    /// Reads a file from memory.
    static file read(const formats &with, const std::string &name, std::string_view bytes) { return read_(with, name, bytes, nullptr); }
    static file read(const formats &with, const std::string &name, std::string_view bytes, const options &how)
    {
        return read_(with, name, bytes, how.get());
    }
    const spheresum_file *get() const noexcept { return object_.get(); }
    std::string format() const { return spheresum_file_format(get()); }
    std::string sha256() const { return spheresum_file_sha256(get()); }
    bool has_curve() const noexcept { return spheresum_file_has_curve(get()) == 1; }
    /// Its readings, a view; no value where it holds a curve.
    std::optional<readings_view> readings() const
    {
        const spheresum_readings *found = spheresum_file_readings(get());
        return found == nullptr ? std::nullopt : std::optional<readings_view>(readings_view(found));
    }
    /// Findings of reading it, views.
    std::vector<finding> findings() const
    {
        std::vector<finding> all;
        for (std::size_t i = 0; i < spheresum_file_finding_count(get()); i++) {
            all.emplace_back(spheresum_file_finding(get(), i));
        }
        return all;
    }

private:
    explicit file(spheresum_file *object) : object_(object) {}
    static file open_(const formats &with, const std::string &path, const spheresum_options *how)
    {
        return file(detail::made<spheresum_file>(spheresum_file_open, with.get(), path.c_str(), how));
    }
    static file read_(const formats &with, const std::string &name, std::string_view bytes, const spheresum_options *how)
    {
        return file(detail::made<spheresum_file>(spheresum_file_read, with.get(), name.c_str(),
                                                 reinterpret_cast<const std::uint8_t *>(bytes.data()), bytes.size(), how));
    }
    detail::handle<spheresum_file, spheresum_file_free> object_;
};

inline options &options::set_range(const file &curve)
{
    detail::call(spheresum_options_set_range, object_.get(), curve.get());
    return *this;
}

/// The readings of one configuration of a device.
class run {
public:
    explicit run(const std::string &name) : object_(detail::made<spheresum_run>(spheresum_run_new, name.c_str())) {}
    const spheresum_run *get() const noexcept { return object_.get(); }
    /// Adds readings; they are shared, and may go afterwards.
    run &add(const readings_view &some)
    {
        detail::call(spheresum_run_add_readings, object_.get(), some.get());
        return *this;
    }
    /// Adds the readings of a file, with its findings and history; it may go afterwards.
    run &add(const file &one)
    {
        detail::call(spheresum_run_add_file, object_.get(), one.get());
        return *this;
    }

private:
    detail::handle<spheresum_run, spheresum_run_free> object_;
};

namespace detail {

/// What can be asked of a reduction, whoever owns it.
template <class Self> class reduction_calls {
public:
    spheresum::verdict verdict() const noexcept { return static_cast<spheresum::verdict>(spheresum_reduction_verdict(object())); }
    spheresum::quantity quantity() const noexcept
    {
        return static_cast<spheresum::quantity>(spheresum_reduction_quantity(object()));
    }
    std::string name() const { return spheresum_reduction_name(object()); }
    std::string rule() const { return spheresum_reduction_rule(object()); }
    /// Number of frequencies.
    std::size_t channels() const noexcept { return spheresum_reduction_channel_count(object()); }
    std::optional<double> frequency_hz(std::size_t channel) const
    {
        return number(spheresum_reduction_frequency_hz, object(), channel);
    }
    /// Figures of a channel, views.
    std::vector<figure> figures(std::size_t channel = 0) const
    {
        std::vector<figure> all;
        for (std::size_t i = 0; i < spheresum_reduction_figure_count(object(), channel); i++) {
            all.emplace_back(spheresum_reduction_figure(object(), channel, i));
        }
        return all;
    }
    /// A figure of a channel by its name, a view.
    figure find(const std::string &name, std::size_t channel = 0) const
    {
        return figure(made<const spheresum_figure>(spheresum_reduction_find, object(), channel, name.c_str()));
    }
    /// What noise does to a channel, a view; no value where no floor was taken off.
    std::optional<spheresum::noise> noise(std::size_t channel = 0) const
    {
        const spheresum_noise *found = spheresum_reduction_noise(object(), channel);
        return found == nullptr ? std::nullopt : std::optional<spheresum::noise>(spheresum::noise(found));
    }
    /// Figures over all frequencies, views.
    std::vector<figure> summary() const
    {
        std::vector<figure> all;
        for (std::size_t i = 0; i < spheresum_reduction_summary_count(object()); i++) {
            all.emplace_back(spheresum_reduction_summary(object(), i));
        }
        return all;
    }
    /// Findings, views.
    std::vector<finding> findings() const
    {
        std::vector<finding> all;
        for (std::size_t i = 0; i < spheresum_reduction_finding_count(object()); i++) {
            all.emplace_back(spheresum_reduction_finding(object(), i));
        }
        return all;
    }
    /// The JSON document, with its history.
    std::string json() const { return text(spheresum_reduction_json, object()); }
    /// All figures, comma-separated.
    std::string csv() const { return text(spheresum_reduction_csv, object()); }
    /// A table to start from, each row a snapshot: files as they are named in it, with commas between them; options as they are typed.
    std::string skeleton(const std::string &files, const std::string &options, const std::string &source) const
    {
        return text(spheresum_reduction_skeleton, object(), files.c_str(), options.c_str(), source.c_str());
    }

private:
    const spheresum_reduction *object() const noexcept { return static_cast<const Self *>(this)->get(); }
};

} // namespace detail

/// A reduction that a comparison owns. A view.
class reduction_view : public detail::reduction_calls<reduction_view> {
public:
    explicit reduction_view(const spheresum_reduction *object) : object_(detail::there(object, "reduction")) {}
    const spheresum_reduction *get() const noexcept { return object_; }

private:
    const spheresum_reduction *object_;
};

/// Result of a reduction. Comes from reduce().
class reduction : public detail::reduction_calls<reduction> {
public:
    /// Takes an object of C over.
    explicit reduction(spheresum_reduction *object) : object_(object) {}
    const spheresum_reduction *get() const noexcept { return object_.get(); }

private:
    detail::handle<spheresum_reduction, spheresum_reduction_free> object_;
};

/// Reduces a run.
inline reduction reduce(const run &one)
{
    return reduction(detail::made<spheresum_reduction>(spheresum_reduce, one.get(), static_cast<const spheresum_options *>(nullptr)));
}
inline reduction reduce(const run &one, const options &how)
{
    return reduction(detail::made<spheresum_reduction>(spheresum_reduce, one.get(), how.get()));
}

/// Figures of one frequency of a running reduction, as they stood when they were asked for. Figures from it are views.
class figures {
public:
    /// Takes an object of C over.
    explicit figures(spheresum_figures *object) : object_(object) {}
    const spheresum_figures *get() const noexcept { return object_.get(); }
    std::size_t count() const noexcept { return spheresum_figures_count(get()); }
    figure at(std::size_t index) const { return figure(spheresum_figures_get(get(), index)); }
    /// By its name.
    figure find(const std::string &name) const { return figure(spheresum_figures_find(get(), name.c_str())); }

private:
    detail::handle<spheresum_figures, spheresum_figures_free> object_;
};

/// Layout of a running reduction.
enum class layout : std::int32_t { theta_phi = SPHERESUM_LAYOUT_THETA_PHI, total = SPHERESUM_LAYOUT_TOTAL };

/// A reduction that runs along with the measurement.
class running {
public:
    /// On an equal-angle grid; without frequencies: one that is unknown.
    running(spheresum::quantity what, double theta_step_deg, double phi_step_deg, spheresum::layout of = spheresum::layout::theta_phi,
            const std::vector<double> &frequencies_hz = {}, const options *how = nullptr)
        : object_(detail::made<spheresum_running>(
              spheresum_running_begin, static_cast<std::int32_t>(what), theta_step_deg, phi_step_deg, static_cast<std::int32_t>(of),
              frequencies_hz.empty() ? nullptr : frequencies_hz.data(), frequencies_hz.size(), how == nullptr ? nullptr : how->get()))
    {
    }
    const spheresum_running *get() const noexcept { return object_.get(); }
    /// A reading; one that is not taken changes nothing.
    void add(polarisation of, std::optional<double> frequency_hz, double theta_deg, double phi_deg, double level,
             spheresum::unit in = spheresum::unit::decibel, sample state = sample::measured)
    {
        detail::call(spheresum_running_add, object_.get(), static_cast<std::int32_t>(of), frequency_hz.value_or(0), theta_deg, phi_deg,
                     level, static_cast<std::int32_t>(in), static_cast<std::uint8_t>(state));
    }
    /// Directions that were read, and all of the plan.
    std::pair<std::size_t, std::size_t> progress(polarisation of, std::size_t channel = 0) const
    {
        std::pair<std::size_t, std::size_t> found{0, 0};
        detail::call(spheresum_running_progress, get(), channel, static_cast<std::int32_t>(of), &found.first, &found.second);
        return found;
    }
    bool is_complete() const noexcept { return spheresum_running_is_complete(get()) == 1; }
    /// Figures from what was read so far.
    spheresum::figures figures(std::size_t channel = 0) const
    {
        return spheresum::figures(detail::made<spheresum_figures>(spheresum_running_figures, get(), channel));
    }
    /// What was gathered, as readings.
    spheresum::readings readings() const
    {
        return spheresum::readings(detail::made<spheresum_readings>(spheresum_running_readings, get()));
    }
    /// The reduction of what was gathered.
    spheresum::reduction finish(const std::string &name) const
    {
        return spheresum::reduction(detail::made<spheresum_reduction>(spheresum_running_finish, get(), name.c_str()));
    }

private:
    detail::handle<spheresum_running, spheresum_running_free> object_;
};

/// Runs compared with the first. Comes from compare(); test is 0 for the first run after the reference.
class comparison {
public:
    /// Takes an object of C over.
    explicit comparison(spheresum_comparison *object) : object_(object) {}
    const spheresum_comparison *get() const noexcept { return object_.get(); }
    std::size_t tests() const noexcept { return spheresum_comparison_test_count(get()); }
    /// Reduction of a run, a view: 0 for the reference, then the tests.
    reduction_view reduction(std::size_t run) const { return reduction_view(spheresum_comparison_reduction(get(), run)); }
    std::string name(std::size_t test = 0) const { return spheresum_comparison_name(get(), test); }
    std::string sentence(std::size_t test = 0) const { return spheresum_comparison_sentence(get(), test); }
    std::string headline(std::size_t test = 0) const { return spheresum_comparison_headline(get(), test); }
    std::optional<double> largest_drop_db(std::size_t test = 0) const
    {
        return detail::number(spheresum_comparison_largest_drop_db, get(), test);
    }
    /// Number of frequencies that a test shares with the reference.
    std::size_t channels(std::size_t test = 0) const noexcept { return spheresum_comparison_channel_count(get(), test); }
    std::optional<double> frequency_hz(std::size_t test, std::size_t channel) const
    {
        return detail::number(spheresum_comparison_frequency_hz, get(), test, channel);
    }
    /// Compared figures of a channel, views.
    std::vector<difference> differences(std::size_t test = 0, std::size_t channel = 0) const
    {
        std::vector<difference> all;
        for (std::size_t i = 0; i < spheresum_comparison_difference_count(get(), test, channel); i++) {
            all.emplace_back(spheresum_comparison_difference(get(), test, channel, i));
        }
        return all;
    }
    /// Compared figures over all frequencies, views.
    std::vector<difference> summary(std::size_t test = 0) const
    {
        std::vector<difference> all;
        for (std::size_t i = 0; i < spheresum_comparison_summary_count(get(), test); i++) {
            all.emplace_back(spheresum_comparison_summary(get(), test, i));
        }
        return all;
    }
    /// Findings on a test, views.
    std::vector<finding> findings(std::size_t test = 0) const
    {
        std::vector<finding> all;
        for (std::size_t i = 0; i < spheresum_comparison_finding_count(get(), test); i++) {
            all.emplace_back(spheresum_comparison_finding(get(), test, i));
        }
        return all;
    }
    /// The JSON document, with all reductions.
    std::string json() const { return detail::text(spheresum_comparison_json, get()); }
    /// All compared figures, comma-separated.
    std::string csv() const { return detail::text(spheresum_comparison_csv, get()); }

private:
    detail::handle<spheresum_comparison, spheresum_comparison_free> object_;
};

namespace detail {

inline comparison compare(const std::vector<const run *> &runs, const spheresum_options *how)
{
    std::vector<const spheresum_run *> all;
    for (const run *one : runs) {
        all.push_back(there(one, "run")->get());
    }
    return comparison(made<spheresum_comparison>(spheresum_compare, all.data(), all.size(), how));
}

} // namespace detail

/// Compares runs with the first; all are reduced alike.
inline comparison compare(const std::vector<const run *> &runs) { return detail::compare(runs, nullptr); }
inline comparison compare(const std::vector<const run *> &runs, const options &how) { return detail::compare(runs, how.get()); }

/// TRP in one call: the state, and the value where that is value.
struct trp_result {
    figure_state state;
    std::optional<double> dbm;
};

/// TRP of EIRP samples on an equal-angle grid at one frequency.
inline trp_result trp_dbm(std::size_t count, const double *theta_deg, const double *phi_deg, const double *eirp_theta_dbm,
                          const double *eirp_phi_dbm, rule with = rule::automatic, const sample *state_theta = nullptr,
                          const sample *state_phi = nullptr)
{
    double dbm = 0;
    std::uint8_t state = SPHERESUM_FIGURE_REFUSED;
    detail::call(spheresum_trp_dbm, theta_deg, phi_deg, eirp_theta_dbm, eirp_phi_dbm, detail::bytes(state_theta),
                 detail::bytes(state_phi), count, static_cast<std::int32_t>(with), &dbm, &state);
    return {static_cast<figure_state>(state), state == SPHERESUM_FIGURE_VALUE ? std::optional<double>(dbm) : std::nullopt};
}
inline trp_result trp_dbm(const std::vector<double> &theta_deg, const std::vector<double> &phi_deg,
                          const std::vector<double> &eirp_theta_dbm, const std::vector<double> &eirp_phi_dbm,
                          rule with = rule::automatic, const std::vector<sample> &state_theta = {},
                          const std::vector<sample> &state_phi = {})
{
    const std::size_t n = theta_deg.size();
    return trp_dbm(n, theta_deg.data(), detail::data(phi_deg, n, "phi_deg"), detail::data(eirp_theta_dbm, n, "eirp_theta_dbm"),
                   detail::data(eirp_phi_dbm, n, "eirp_phi_dbm"), with, detail::data(state_theta, n, "state_theta", true),
                   detail::data(state_phi, n, "state_phi", true));
}

/// Weights of the rings of an equal-angle grid, one more than its steps: the mean over the sphere is half the sum of weight times mean over the ring.
inline std::vector<double> rule_weights(rule of, std::size_t intervals)
{
    std::vector<double> weights(intervals < 10001 ? intervals + 1 : 1);
    detail::call(spheresum_rule_weights, static_cast<std::int32_t>(of), intervals, weights.size(), weights.data());
    return weights;
}

/// Result of checking the library by a reference table.
struct table_result {
    std::string name;
    std::size_t passed, failed;
    /// A line a row.
    std::string text;
};

/// Checks the library by its reference tables.
inline std::vector<table_result> check_tables()
{
    std::vector<table_result> all;
    for (std::size_t i = 0; i < spheresum_table_count(); i++) {
        table_result one{spheresum_table_name(i), 0, 0, {}};
        one.text = detail::text(spheresum_table_check, i, &one.passed, &one.failed);
        all.push_back(std::move(one));
    }
    return all;
}

/// Checks the library by a table of one's own; files of its cases are looked for beside it.
inline table_result check_table(const formats &with, const std::string &path)
{
    table_result one{path, 0, 0, {}};
    one.text = detail::text(spheresum_table_check_file, with.get(), path.c_str(), &one.passed, &one.failed);
    return one;
}

} // namespace spheresum

#endif /* SPHERESUM_HPP */
