pub fn comparison() {}
