/*
 * The whole job in Java 17, by its incubating module for foreign functions (which later versions have changed): two files and a
 * range loss in, the comparison in one sentence and the difference of the TRP out.
 *
 * java --add-modules jdk.incubator.foreign --enable-native-access=ALL-UNNAMED Compare.java LIBRARY REFERENCE TEST RANGE-LOSS
 */
import static jdk.incubator.foreign.CLinker.C_DOUBLE;
import static jdk.incubator.foreign.CLinker.C_INT;
import static jdk.incubator.foreign.CLinker.C_LONG;
import static jdk.incubator.foreign.CLinker.C_POINTER;

import java.lang.invoke.MethodType;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Locale;
import jdk.incubator.foreign.Addressable;
import jdk.incubator.foreign.CLinker;
import jdk.incubator.foreign.FunctionDescriptor;
import jdk.incubator.foreign.MemoryAccess;
import jdk.incubator.foreign.MemoryAddress;
import jdk.incubator.foreign.MemoryLayout;
import jdk.incubator.foreign.MemorySegment;
import jdk.incubator.foreign.ResourceScope;
import jdk.incubator.foreign.SegmentAllocator;
import jdk.incubator.foreign.SymbolLookup;

public final class Compare {
    /** Number of a difference, of spheresum.h. */
    private static final int DIFFERENCE_DB = 2;

    private static final MemoryAddress NULL = MemoryAddress.NULL;
    private static final SegmentAllocator MEMORY = SegmentAllocator.ofScope(ResourceScope.globalScope());
    private static final MemorySegment ERROR = MEMORY.allocate(C_POINTER);

    /** What frees the objects, the latest first. */
    private static final Deque<Runnable> OWNED = new ArrayDeque<>();

    /** Calls a function of C: int is int32_t, long size_t, and everything else a pointer. */
    private static Object c(Class<?> result, MemoryLayout layout, String name, Object... arguments) {
        MemoryLayout[] layouts = new MemoryLayout[arguments.length];
        Class<?>[] types = new Class<?>[arguments.length];
        Object[] values = new Object[arguments.length];
        for (int i = 0; i < arguments.length; i++) {
            Object given = arguments[i];
            if (given instanceof String text) {
                given = CLinker.toCString(text, ResourceScope.globalScope());
            }
            values[i] = given instanceof Addressable pointer ? pointer.address() : given;
            types[i] = given instanceof Integer ? int.class : given instanceof Long ? long.class : MemoryAddress.class;
            layouts[i] = given instanceof Integer ? C_INT : given instanceof Long ? C_LONG : C_POINTER;
        }
        FunctionDescriptor shape = layout == null ? FunctionDescriptor.ofVoid(layouts) : FunctionDescriptor.of(layout, layouts);
        MemoryAddress address = SymbolLookup.loaderLookup().lookup("spheresum_" + name).orElseThrow();
        try {
            return CLinker.getInstance()
                    .downcallHandle(address, MethodType.methodType(result, types), shape)
                    .invokeWithArguments(values);
        } catch (Throwable e) {
            throw new IllegalStateException(name, e);
        }
    }

    private static String text(String name, Object... arguments) {
        return CLinker.toJavaString((MemoryAddress) c(MemoryAddress.class, C_POINTER, name, arguments));
    }

    /** Calls a function that ends in out_error. */
    private static void call(String name, Object... arguments) {
        Object[] all = java.util.Arrays.copyOf(arguments, arguments.length + 1);
        all[arguments.length] = ERROR;
        if ((int) c(int.class, C_INT, name, all) != 0) {
            MemoryAddress error = MemoryAccess.getAddress(ERROR);
            String message = text("error_message", error) + "; " + text("error_hint", error);
            c(void.class, null, "error_free", error);
            throw new IllegalArgumentException(message);
        }
    }

    /** Calls a function whose last output is an object of that kind. */
    private static MemoryAddress made(String kind, String name, Object... arguments) {
        MemorySegment out = MEMORY.allocate(C_POINTER);
        Object[] all = java.util.Arrays.copyOf(arguments, arguments.length + 1);
        all[arguments.length] = out;
        call(name, all);
        MemoryAddress object = MemoryAccess.getAddress(out);
        OWNED.push(() -> c(void.class, null, kind + "_free", object));
        return object;
    }

    private static MemoryAddress run(MemoryAddress formats, String path, String name) {
        MemoryAddress run = made("run", "run_new", name);
        call("run_add_file", run, made("file", "file_open", formats, path, NULL));
        return run;
    }

    public static void main(String[] argument) {
        System.load(new java.io.File(argument[0]).getAbsolutePath());
        try {
            MemoryAddress formats = made("formats", "formats_new");
            MemoryAddress options = made("options", "options_new");
            call("options_set_range", options, made("file", "file_open", formats, argument[3], NULL));
            MemorySegment runs = MEMORY.allocateArray(C_POINTER, 2);
            MemoryAccess.setAddressAtIndex(runs, 0, run(formats, argument[1], "rev-a"));
            MemoryAccess.setAddressAtIndex(runs, 1, run(formats, argument[2], "rev-b"));
            MemoryAddress comparison = made("comparison", "compare", runs, 2L, options);
            System.out.println(text("comparison_sentence", comparison, 0L));
            Object first = c(MemoryAddress.class, C_POINTER, "comparison_difference", comparison, 0L, 0L, 0L);
            MemorySegment number = MEMORY.allocate(C_DOUBLE);
            if ((int) c(int.class, C_INT, "difference_number", first, DIFFERENCE_DB, number) == 1) {
                System.out.printf(Locale.ROOT, "%s %.6f dB%n", text("difference_name", first), MemoryAccess.getDouble(number));
            }
        } finally {
            OWNED.forEach(Runnable::run);
        }
    }
}
