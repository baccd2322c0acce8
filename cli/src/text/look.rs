pub fn look() {}
